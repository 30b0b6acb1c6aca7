import { fitEquation } from '../../shared/model/equation.ts'
import { type FittedModel, fitModel } from '../../shared/model/fit.ts'
import { columnNamed } from '../../shared/model/table.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { fitInWords, type ToldFit } from './fit-tables.ts'
import { fileOptions, type Given, settingsOf, taker } from './options.ts'
import { type FileTable, readTable } from './table-file.ts'
import { inWords, type Verb } from './verb.ts'

/** How a model is written; stands in the help of the verbs that take one. */
export const modelGrammar = [
  'A model is RESPONSE ~ TERMS with + - * (cross) / (nest) . (interaction) ^ (power) and the functions log',
  '(natural), log10, sqrt, exp, inverse. Names with other signs than letters, digits and _ stand in double',
  'quotes. A column of texts is categorical, its first level the reference.',
].join('\n')

/** `evenfilm fit`: a model or an equation fitted to a table, with its tests and predictions. */
export const fit: Verb = {
  name: 'fit',
  summary: 'fits a model or an equation and says how well it holds',
  operands: ['FILE'],
  options: {
    model: { value: '"log(thickness) ~ log(speed) + time"', help: 'a model that is linear in its terms' },
    equation: { value: '"thickness = a*speed^(-b) + c"', help: 'or an equation with parameters of its own' },
    start: { value: 'a=1e5,b=0.5,c=0', help: 'where the parameters of the equation start' },
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
    const start = take(startOf(given)) ?? {}
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const weights = given.text('weights')
    const weightColumn = weights === null ? null : file.value.column(weights)
    if (weightColumn !== null && !weightColumn.ok) return weightColumn
    const options = {
      table: file.value.table,
      level,
      ...(weightColumn === null ? {} : { weights: weightColumn.value.name }),
    }
    const found = given.has('equation')
      ? equationFit({ ...options, equation: given.text('equation') ?? '', start })
      : modelFit({ ...options, model: given.text('model') ?? '' })
    if (!found.ok) return file.value.atItsRow(found)
    const { fitted, told, levels } = found.value
    const places = placesFor(at, file.value, levels)
    if (!places.ok) return places
    const badPlaces = fitted
      .cannotPredict(places.value)
      .filter(({ code }) => code === 'missingSetting' || code === 'unknownLevel')
    if (badPlaces.length > 0) return { ok: false, problems: badPlaces.map(ofAt) }
    const report = file.value.reportAtItsRows(fitted.report(places.value))
    return good({
      exit: 0,
      json: report,
      text: fitInWords(told, report),
      notes: [...file.value.notes, ...report.problems.map(inWords)],
    })
  },
}

/** What is fitted, how it is told, and the levels of its columns of names. */
type Found = {
  fitted: Pick<FittedModel, 'report' | 'cannotPredict'>
  told: ToldFit
  levels: Record<string, string[]>
}

function modelFit(options: Parameters<typeof fitModel>[0]): Answer<Found> {
  const model = fitModel(options)
  if (!model.ok) return model
  const { fitted, responseName, responseText, level, unitOf } = model.value
  const told = {
    text: fitted.text,
    responseName,
    responseText,
    unit: unitOf(responseName),
    estimate: fitted.frame.scale.function === 'plain' ? ('mean' as const) : ('median' as const),
    level,
  }
  return good({ fitted: model.value, told, levels: fitted.frame.levels })
}

function equationFit(options: Parameters<typeof fitEquation>[0]): Answer<Found> {
  const fitted = fitEquation(options)
  if (!fitted.ok) return fitted
  const { responseName, level, unitOf } = fitted.value
  const told = {
    text: options.equation,
    responseName,
    responseText: responseName,
    unit: unitOf(responseName),
    estimate: 'mean' as const,
    level,
  }
  return good({ fitted: fitted.value, told, levels: {} })
}

/** The start values of an equation; a model has none. */
function startOf(given: Given): Answer<Record<string, number>> {
  const text = given.text('start')
  if (given.has('model') === given.has('equation'))
    return refuse('missingOption', 'fit needs --model or --equation, one of them.')
  if (!given.has('equation'))
    return text === null
      ? good({})
      : refuse('badOption', '--start belongs to --equation.', { column: 'start' })
  if (text === null)
    return refuse('missingOption', 'An equation needs --start a=1e5,b=0.5: where its parameters start.')
  const settings = settingsOf(text, 'start')
  if (!settings.ok) return settings
  const word = Object.entries(settings.value).find(([, value]) => typeof value !== 'number')
  if (word !== undefined)
    return refuse('badOption', `--start ${text}: ‘${word[1]}’ is no number.`, { column: 'start' })
  return good(settings.value as Record<string, number>)
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
