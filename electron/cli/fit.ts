import { fitModel } from '../../shared/model/fit.ts'
import { columnNamed } from '../../shared/model/table.ts'
import { type Answer, good, type Problem } from '../../shared/problem.ts'
import { fitInWords } from './fit-tables.ts'
import { fileOptions, settingsOf, taker } from './options.ts'
import { type FileTable, readTable } from './table-file.ts'
import { inWords, type Verb } from './verb.ts'

/** How a model is written; stands in the help of the verbs that take one. */
export const modelGrammar = [
  'A model is RESPONSE ~ TERMS with + - * (cross) / (nest) . (interaction) ^ (power) and the functions log',
  '(natural), log10, sqrt, exp, inverse. Names with other signs than letters, digits and _ stand in double',
  'quotes. A column of texts is categorical, its first level the reference.',
].join('\n')

/** `evenfilm fit`: a model fitted to a table, with its tests and predictions. */
export const fit: Verb = {
  name: 'fit',
  summary: 'fits a model and says how well it holds',
  operands: ['FILE'],
  options: {
    model: { value: '"log(thickness) ~ log(speed) + time"', help: 'the model', required: true },
    weights: { value: 'COLUMN', help: 'weights, 1/variance' },
    at: { value: 'speed=3000,time=30', help: 'predict at these settings', repeat: true },
    level: { value: '0.95', help: 'level of all intervals (0.95)' },
    ...fileOptions,
  },
  more: modelGrammar,
  async run(given) {
    const { problems, take, share } = taker(given)
    const level = share('level', 0.95)
    const at = given.texts('at').map((text) => take(settingsOf(text, 'at')) ?? {})
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const weights = given.text('weights')
    const weightColumn = weights === null ? null : file.value.column(weights)
    if (weightColumn !== null && !weightColumn.ok) return weightColumn
    const model = fitModel({
      table: file.value.table,
      model: given.text('model') ?? '',
      level,
      ...(weightColumn === null ? {} : { weights: weightColumn.value.name }),
    })
    if (!model.ok) return file.value.atItsRow(model)
    const places = placesFor(at, file.value, model.value.fitted.frame.levels)
    if (!places.ok) return places
    const badPlaces = model.value
      .cannotPredict(places.value)
      .filter(({ code }) => code === 'missingSetting' || code === 'unknownLevel')
    if (badPlaces.length > 0) return { ok: false, problems: badPlaces.map(ofAt) }
    const report = file.value.reportAtItsRows(model.value.report(places.value))
    return good({
      exit: 0,
      json: report,
      text: fitInWords(model.value, report),
      notes: [...file.value.notes, ...report.problems.map(inWords)],
    })
  },
}

const ofAt = (problem: Problem): Problem => ({ ...problem, message: `--at: ${problem.message}` })

/** Settings of --at as the table knows them: every name a column, numbers as texts where the column is one of names. */
function placesFor(
  at: Record<string, number | string>[],
  file: FileTable,
  levels: Record<string, string[]>,
): Answer<Record<string, number | string>[]> {
  const unknown = at.flatMap((settings) =>
    Object.keys(settings).filter((name) => columnNamed(file.table, name) === undefined),
  )
  if (unknown.length > 0)
    return {
      ok: false,
      problems: [...new Set(unknown)].map((name) => ({
        code: 'unknownColumn',
        message: `--at: there is no column ‘${name}’. There are ${file.table.columns.map((column) => column.name).join(', ')}.`,
        column: name,
      })),
    }
  return good(
    at.map((settings) =>
      Object.fromEntries(
        Object.entries(settings).map(([name, value]) => [name, name in levels ? String(value) : value]),
      ),
    ),
  )
}
