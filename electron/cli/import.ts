import { basename } from 'node:path'
import { columnMeaning } from '../../shared/contract/calls/imports.ts'
import type { Args, CallEngine } from '../../shared/contract.ts'
import type { DecimalSign } from '../../shared/numbers.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { textOfBytes } from '../../shared/text-of-bytes.ts'
import { fileOptions, type Given, taker } from './options.ts'
import { studyNamed, studyOptions, withEngine } from './study.ts'
import { readFile } from './table-file.ts'
import { inWords, type Outcome, type Verb } from './verb.ts'

type Columns = NonNullable<Args<'imports.commit'>['columns']>

/** `evenfilm import`: runs or readings from a CSV file into a study; all of the file or nothing. */
export const importFile: Verb = {
  name: 'import',
  summary: 'takes runs or readings from a CSV file into a study',
  operands: ['FILE'],
  options: {
    ...studyOptions,
    new: { help: 'makes the study, and the database where there is none' },
    columns: {
      value: '"HEADER=MEANING[:NAME[:UNIT]]"',
      help: 'what a column means, where it is not told from its header',
      repeat: true,
    },
    ...fileOptions,
  },
  more: [
    `Meanings: ${columnMeaning.shape.means.options.join(', ')}.`,
    'NAME is that of a factor or response, or the number of the site of a wide site. Nothing is imported while',
    'a row is bad; each bad row is named.',
  ].join('\n'),
  async run(given) {
    const bytes = readFile(given.operands[0] ?? '')
    if (!bytes.ok) return bytes
    const { problems, take, word } = taker(given)
    const decimal = given.has('decimal')
      ? word<DecimalSign>('decimal', ['comma', 'point'], 'point')
      : undefined
    const meanings = given.texts('columns').map((text) => take(meaningOf(text)))
    if (problems.length > 0) return { ok: false, problems }
    const named = meanings.filter((meaning) => meaning !== null)
    const isNew = given.has('new')
    return withEngine<Outcome>(given.text('data') ?? '', { mayBeNew: isNew }, async (call) => {
      const study = isNew ? await newStudy(call, given) : await studyNamed(call, given.text('study') ?? '')
      if (!study.ok) return study
      const studyId = study.value
      const source = {
        studyId,
        fileName: basename(given.operands[0] ?? ''),
        text: textOfBytes(bytes.value),
        ...(decimal ? { decimal } : {}),
      }
      const done = await bringIn(call, source, named)
      // A study made for this file alone goes with it.
      if (!done.ok && isNew) await call('history.undo', { studyId })
      return done
    })
  },
}

async function newStudy(call: CallEngine, given: Given): Promise<Answer<string>> {
  const name = given.text('study') ?? ''
  const known = await studyNamed(call, name)
  if (known.ok) return refuse('studyExists', `There is a study ‘${name}’ already. Leave --new out.`)
  if (known.problems[0]?.code !== 'noSuchStudy') return known
  const made = await call('studies.create', { study: { name } })
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
