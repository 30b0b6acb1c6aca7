import { basename } from 'node:path'
import { columnMeaning } from '../../shared/contract/calls/imports.ts'
import { readingStages } from '../../shared/contract/choices.ts'
import type { Args, CallEngine } from '../../shared/contract.ts'
import type { Substrate } from '../../shared/film/substrate.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { textOfBytes } from '../../shared/text-of-bytes.ts'
import { readFile } from '../read-file.ts'
import { decimalOf, fileOptions, type Given, strayOption, type Taker, taker } from './options.ts'
import { studyNamed, studyOptions, withEngine } from './study.ts'
import { outlineOf, substrateOptions } from './substrate-options.ts'
import { inWords, type Outcome, type Verb } from './verb.ts'

type Columns = NonNullable<Args<'imports.commit'>['columns']>

/** `evenfilm import`: runs or readings from text files into a study; all of them or nothing. */
export const importFile: Verb = {
  name: 'import',
  summary: 'takes runs or readings from CSV files into a study',
  operands: ['FILE…'],
  options: {
    ...studyOptions,
    new: { help: 'makes the study, and the database where there is none' },
    ...substrateOptions,
    edge: { value: 'MM', help: 'edge exclusion of the new study (6)' },
    columns: {
      value: '"HEADER=MEANING[:NAME[:UNIT]]"',
      help: 'what a column means, where it is not told from its header',
      repeat: true,
    },
    ...fileOptions,
    mapping: { value: 'NAME', help: 'what columns mean, as it was kept under that name' },
    'no-header': { help: 'no row names the columns: they are column 1, column 2 …' },
    origin: { value: 'centre|lower-left', help: 'where positions count from' },
    y: { value: 'up|down', help: 'the direction of y' },
    before: { value: 'TEXT', help: 'what stands before the substrate in the names of the files' },
    after: { value: 'TEXT', help: 'what stands after it' },
    repeated: { value: 'refused|repeats', help: 'what a second reading at a site is (refused)' },
    'taken-after': {
      value: [...readingStages, 'not-said'].join('|'),
      help: 'the step after which the film was read (as the study says)',
    },
    index: { value: 'N', help: 'the optical index of the readings (as the study says)' },
  },
  more: [
    `Meanings: ${columnMeaning.shape.means.options.join(', ')}.`,
    'NAME is that of a factor or response, or the number of the site of a wide site. Several files, such as one a',
    'substrate, are one import and have the same columns. Nothing is imported while a row is bad; each bad row is',
    'named.',
  ].join('\n'),
  async run(given) {
    const taking = taker(given)
    const { problems, take, word, number } = taking
    const decimal = decimalOf(given, word)
    const files = given.operands.flatMap((path) => {
      const bytes = take(readFile(path))
      return bytes ? [{ fileName: basename(path), text: textOfBytes(bytes) }] : []
    })
    const options = { ...optionsOf(given, word), ...howReadOf(given, word, number) }
    const meanings = given.texts('columns').map((text) => take(meaningOf(text)))
    const substrate = { ...outlineOf(given, taking), ...edgeOf(given, taking) }
    for (const option of ['diameter', 'width', 'height', 'edge'])
      take(strayOption(given, { [option]: 'new' }))
    if (problems.length > 0) return { ok: false, problems }
    const named = meanings.filter((meaning) => meaning !== null)
    const isNew = given.has('new')
    const [first, ...more] = files
    return withEngine<Outcome>(given.text('data') ?? '', { mayBeNew: isNew }, async (call) => {
      const study = isNew
        ? await newStudy(call, given.text('study') ?? '', substrate)
        : await studyNamed(call, given.text('study') ?? '')
      if (!study.ok) return study
      const studyId = study.value
      const source = {
        studyId,
        ...(first as (typeof files)[number]),
        ...(more.length > 0 ? { more } : {}),
        ...(decimal ? { decimal } : {}),
        options,
      }
      const mapped = await withMapping(call, source, given.text('mapping'))
      const done = mapped.ok ? await bringIn(call, mapped.value, named) : mapped
      // A study made for this file alone goes with it.
      if (!done.ok && isNew) await call('history.undo', { studyId })
      return done
    })
  },
}

/** What is said of whole files; the rest is guessed. */
function optionsOf(given: Given, word: Taker['word']): NonNullable<Args<'imports.preview'>['options']> {
  const [before, after] = [given.text('before'), given.text('after')]
  return {
    ...(given.has('no-header') ? { header: 'none' as const } : {}),
    ...(given.has('origin')
      ? {
          origin:
            word('origin', ['centre', 'lower-left'], 'centre') === 'centre'
              ? ('centre' as const)
              : ('lower left' as const),
        }
      : {}),
    ...(given.has('y') ? { yAxis: word('y', ['up', 'down'], 'up') } : {}),
    ...(before === null ? {} : { before }),
    ...(after === null ? {} : { after }),
  }
}

/** What is said of the readings of whole files, where no column says it. */
function howReadOf(given: Given, word: Taker['word'], number: Taker['number']) {
  const stage = word('taken-after', [...readingStages, 'not-said'], 'not-said')
  return {
    ...(given.has('repeated') ? { repeated: word('repeated', ['refused', 'repeats'], 'refused') } : {}),
    ...(given.has('taken-after') ? { takenAfter: stage === 'not-said' ? ('not said' as const) : stage } : {}),
    ...(given.has('index') ? { opticalIndex: number('index', { above: 0 }, null) } : {}),
  }
}

/** The source read as a kept mapping says; options that are given win. */
async function withMapping(
  call: CallEngine,
  source: Args<'imports.preview'>,
  name: string | null,
): Promise<Answer<Args<'imports.preview'>>> {
  if (name === null) return good(source)
  const kept = await call('imports.mappings', {})
  if (!kept.ok) return kept
  const mapping = kept.value.find((each) => each.name === name)
  const known = kept.value.map((each) => `‘${each.name}’`).join(', ') || 'none'
  if (!mapping)
    return refuse('noSuchMapping', `There is no mapping ‘${name}’ in this database. There are: ${known}.`)
  return good({ ...source, columns: mapping.columns, options: { ...mapping.options, ...source.options } })
}

/** The edge exclusion that is given; none where the study starts with the usual one. */
function edgeOf(given: Given, { number }: Taker): { edgeExclusionMm?: number } {
  return given.has('edge') ? { edgeExclusionMm: number('edge', { atLeast: 0 }, 0) } : {}
}

async function newStudy(
  call: CallEngine,
  name: string,
  substrate: Partial<Substrate>,
): Promise<Answer<string>> {
  const known = await studyNamed(call, name)
  if (known.ok) return refuse('studyExists', `There is a study ‘${name}’ already. Leave --new out.`)
  if (known.problems[0]?.code !== 'noSuchStudy') return known
  const made = await call('studies.create', { study: { name, ...substrate } })
  return made.ok ? good(made.value.studyId) : made
}

async function bringIn(
  call: CallEngine,
  source: Args<'imports.preview'>,
  named: Columns,
): Promise<Answer<Outcome>> {
  const guess = await call('imports.preview', source)
  if (!guess.ok) return guess
  const headers = guess.value.columns.map(({ column }) => column)
  const unknown = named.filter(({ column }) => !headers.includes(column))
  if (unknown.length > 0)
    return {
      ok: false,
      problems: unknown.map(
        ({ column }): Problem => ({
          code: 'unknownColumn',
          message: `--columns: the file has no column ‘${column}’. It has ${headers.join(', ')}.`,
          column,
        }),
      ),
    }
  const columns = guess.value.columns.map(
    (column) => named.find((one) => one.column === column.column) ?? column,
  )
  const preview = named.length === 0 ? guess : await call('imports.preview', { ...source, columns })
  if (!preview.ok) return preview
  if (preview.value.problems.length > 0) return { ok: false, problems: preview.value.problems }
  const done = await call('imports.commit', { ...source, columns })
  if (!done.ok) return done
  const { warnings, corrected, flagged, leftAside } = preview.value
  return good({
    exit: 0 as const,
    json: { ...done.value, warnings, corrected, flagged, leftAside },
    text: `${done.value.runs} runs and ${done.value.readings} readings came in.`,
    notes: [...warnings, ...corrected, ...leftAside, ...flagged].map(inWords),
  })
}

function meaningOf(text: string): Answer<Columns[number]> {
  const parts = /^(.+)=([^=:]+)(?::([^:]*))?(?::([^:]*))?$/.exec(text)
  const [, column = '', written = '', name = '', unit = ''] = parts ?? []
  const means = columnMeaning.shape.means.safeParse(written.trim())
  if (!parts || !means.success)
    return refuse(
      'badOption',
      `--columns ${text}: write it as HEADER=MEANING[:NAME[:UNIT]], MEANING being one of ${columnMeaning.shape.means.options.join(', ')}.`,
      { column: 'columns' },
    )
  return good({ column: column.trim(), means: means.data, name: name.trim(), unit: unit.trim() })
}
