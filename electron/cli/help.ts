import { commonOptions } from './options.ts'
import type { Verb } from './verb.ts'

/** The help of the whole command line. */
export function generalHelp(verbs: readonly Verb[]): string {
  const widest = Math.max(...verbs.map((verb) => verb.name.length))
  return [
    'evenfilm VERB … : plan, run and judge spin-coat-and-bake experiments',
    '',
    ...verbs.map((verb) => `  ${verb.name.padEnd(widest)}  ${verb.summary}`),
    '',
    'evenfilm VERB --help shows the options of a verb; evenfilm --version the version.',
    'Exit: 0 an answer, 1 no answer, 2 bad input or option, 70 a defect of the program.',
  ].join('\n')
}

/** The help of one verb. */
export function verbHelp(verb: Verb): string {
  const options = Object.entries({ ...verb.options, ...commonOptions }).map(([name, spec]) => {
    const marks = [spec.required ? 'needed' : '', spec.repeat ? 'may be repeated' : ''].filter((mark) => mark)
    return {
      left: `--${name}${spec.value === undefined ? '' : ` ${spec.value}`}`,
      right: spec.help + (marks.length > 0 ? ` (${marks.join(', ')})` : ''),
    }
  })
  const widest = Math.min(34, Math.max(...options.map((option) => option.left.length)))
  return [
    `evenfilm ${[verb.name, ...verb.operands, '[options]'].join(' ')}`,
    `  ${verb.summary}`,
    '',
    ...options.map(({ left, right }) =>
      left.length > widest
        ? `  ${left}\n  ${' '.repeat(widest)}  ${right}`
        : `  ${left.padEnd(widest)}  ${right}`,
    ),
    ...(verb.more === undefined ? [] : ['', verb.more]),
  ].join('\n')
}
