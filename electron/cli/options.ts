import { parseArgs } from 'node:util'
import { type DecimalSign, parseNumber } from '../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'

/** One option of a verb: what its value is called in the help, and what it does in a line. */
export type OptionSpec = {
  /** Name of the value in the help, such as MM; absent for an option that stands alone. */
  value?: string
  help: string
  repeat?: boolean
  required?: boolean
}

export type OptionSpecs = Record<string, OptionSpec>

/** What was written after the verb, checked against its options; values are read by the methods. */
export type Given = {
  operands: string[]
  has(name: string): boolean
  text(name: string): string | null
  texts(name: string): string[]
}

/** Options that every verb has. */
export const commonOptions: OptionSpecs = {
  json: { help: 'print one JSON document on standard output and nothing else' },
  help: { help: 'show this help' },
}

/** Options of the verbs that read a CSV file. */
export const fileOptions: OptionSpecs = {
  decimal: { value: 'comma|point', help: 'the decimal sign of the file, where it cannot be told' },
}

/** The decimal sign of the file as {@link fileOptions} give it; undefined where it is to be told from the file. */
export function decimalOf(given: Given, word: Taker['word']): DecimalSign | undefined {
  return given.has('decimal') ? word<DecimalSign>('decimal', ['comma', 'point'], 'point') : undefined
}

/**
 * Reads what was written after a verb. An unknown option, a value that is missing or not wanted, an option
 * given twice that may be given once, and too few or too many operands are problems.
 *
 * @param options.operands names of the operands, all of them wanted; one that ends in … may be repeated
 */
export function readOptions(
  args: string[],
  options: { verb: string; specs: OptionSpecs; operands: string[] },
): Answer<Given> {
  const { verb, specs } = options
  const values = new Map<string, string[]>()
  const operands: string[] = []
  const problems: Problem[] = []
  const bad = (code: string, message: string) => problems.push({ code, message })
  const { tokens } = parseArgs({
    args,
    strict: false,
    allowPositionals: true,
    tokens: true,
    options: Object.fromEntries(
      Object.entries(specs).map(([name, spec]) => [
        name,
        { type: spec.value === undefined ? 'boolean' : 'string', multiple: true } as const,
      ]),
    ),
  })
  for (const token of tokens) {
    if (token.kind === 'positional') operands.push(token.value)
    if (token.kind !== 'option') continue
    const spec = specs[token.name]
    if (spec === undefined)
      bad('unknownOption', `${token.rawName} is no option of ${verb}. See evenfilm ${verb} --help.`)
    else if (spec.value === undefined && token.value !== undefined)
      bad('unwantedValue', `${token.rawName} takes no value.`)
    else if (spec.value !== undefined && token.value === undefined)
      bad('missingValue', `${token.rawName} needs a value: ${spec.value}.`)
    else if (values.has(token.name) && !spec.repeat) bad('givenTwice', `${token.rawName} is given twice.`)
    else values.set(token.name, [...(values.get(token.name) ?? []), token.value ?? ''])
  }
  for (const [name, spec] of Object.entries(specs))
    if (spec.required && !values.has(name) && !values.has('help'))
      bad('missingOption', `${verb} needs --${name} ${spec.value}: ${spec.help}.`)
  if (operands.length < options.operands.length && !values.has('help'))
    bad('missingOperand', `${verb} needs ${options.operands.slice(operands.length).join(', ')}.`)
  // What follows an unknown option may be meant as its value.
  const repeated = options.operands.at(-1)?.endsWith('…') ?? false
  if (operands.length > options.operands.length && !repeated && problems.length === 0)
    bad('unwantedOperand', `‘${operands[options.operands.length]}’ is too much. See evenfilm ${verb} --help.`)
  if (problems.length > 0) return { ok: false, problems }
  return good({
    operands,
    has: (name) => values.has(name),
    text: (name) => values.get(name)?.[0] ?? null,
    texts: (name) => values.get(name) ?? [],
  })
}

/** A problem where an option is given without the one that it belongs to, and would be ignored. */
export function strayOption(given: Given, owners: Readonly<Record<string, string>>): Answer<null> {
  const stray = Object.keys(owners).find((option) => given.has(option) && !given.has(owners[option] ?? ''))
  if (stray === undefined) return good(null)
  return refuse('badOption', `--${stray} belongs to --${owners[stray]}.`, { column: stray })
}

/** A number with decimal point; `column` of the problem is the option's name. */
export function numberOf(text: string, option: string): Answer<number> {
  const number = parseNumber(text, { decimal: 'point' })
  if (number.ok) return number
  return refuse('badOption', `--${option}: ${number.problems[0]?.message}`, { column: option })
}

/** What bounds a number given as an option. */
type Bounds = { above?: number; atLeast?: number; below?: number; atMost?: number; whole?: boolean }

/** Takes the values of options one by one and keeps what is wrong with them, to be told all at once. */
export type Taker = {
  problems: Problem[]
  /** The value of an answer, or null with its problems kept. */
  take<T>(answer: Answer<T>): T | null
  /** The number given, or `fallback` where the option is absent. */
  number<F extends number | null>(option: string, bounds: Bounds, fallback: F): number | F
  /** A share given as a fraction or in percent: 0.01 or 1%. */
  share<F extends number | null>(option: string, fallback: F): number | F
  /** One of a few words. */
  word<const W extends string>(option: string, words: readonly W[], fallback: W): W
}

export function taker(given: Given): Taker {
  const problems: Problem[] = []
  const take = <T>(answer: Answer<T>): T | null => {
    if (answer.ok) return answer.value
    problems.push(...answer.problems)
    return null
  }
  return {
    problems,
    take,
    number(option, bounds, fallback) {
      const text = given.text(option)
      if (text === null) return fallback
      const number = take(numberOf(text, option))
      return number === null ? fallback : (take(within(number, option, text, bounds)) ?? fallback)
    },
    share(option, fallback) {
      const text = given.text(option)
      if (text === null) return fallback
      const percent = /^(.*)%$/.exec(text.trim())
      const number = take(numberOf(percent?.[1] ?? text, option))
      if (number === null) return fallback
      const share = percent ? number / 100 : number
      return take(within(share, option, text, { above: 0, below: 1 })) ?? fallback
    },
    word(option, words, fallback) {
      const text = given.text(option)
      if (text === null) return fallback
      const word = words.find((one) => one === text)
      if (word !== undefined) return word
      take(refuse('badOption', `--${option} ${text}: must be ${words.join(' or ')}.`, { column: option }))
      return fallback
    },
  }
}

function within(value: number, option: string, text: string, bounds: Bounds): Answer<number> {
  const wants: string[] = []
  if (bounds.whole) wants.push('a whole number')
  if (bounds.above !== undefined) wants.push(`above ${bounds.above}`)
  if (bounds.atLeast !== undefined) wants.push(`at least ${bounds.atLeast}`)
  if (bounds.below !== undefined) wants.push(`below ${bounds.below}`)
  if (bounds.atMost !== undefined) wants.push(`at most ${bounds.atMost}`)
  const fits =
    (!bounds.whole || Number.isInteger(value)) &&
    value > (bounds.above ?? Number.NEGATIVE_INFINITY) &&
    value >= (bounds.atLeast ?? Number.NEGATIVE_INFINITY) &&
    value < (bounds.below ?? Number.POSITIVE_INFINITY) &&
    value <= (bounds.atMost ?? Number.POSITIVE_INFINITY)
  if (fits) return good(value)
  return refuse('badOption', `--${option} ${text}: must be ${wants.join(', ')}.`, { column: option })
}

/** What stands before the first ‘=’ and after it, without blanks around; empty where there is nothing. */
export function pairOf(text: string): [string, string] {
  const at = text.indexOf('=')
  return at < 0 ? ['', ''] : [text.slice(0, at).trim(), text.slice(at + 1).trim()]
}

/** Settings written as `speed=3000,time=30,lot=B`: numbers where they are numbers, texts otherwise. */
export function settingsOf(text: string, option: string): Answer<Record<string, number | string>> {
  const settings = new Map<string, number | string>()
  for (const part of text.split(',')) {
    const [name, written] = pairOf(part)
    if (name === '' || written === '')
      return refuse('badOption', `--${option} ${text}: write it as speed=3000,time=30.`, { column: option })
    if (settings.has(name))
      return refuse('badOption', `--${option} ${text}: ‘${name}’ stands there twice.`, { column: option })
    const number = parseNumber(written, { decimal: 'point' })
    settings.set(name, number.ok ? number.value : written)
  }
  return good(Object.fromEntries(settings))
}
