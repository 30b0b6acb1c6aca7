import type { Fit } from '../../shared/contract/results/fit.ts'
import type { Settings } from '../../shared/contract/things.ts'
import type { AnyFit } from '../../shared/model/fit.ts'
import { swappedProblem } from '../../shared/model/swapped-pair.ts'
import { columnNamed, isCategorical, type Table } from '../../shared/model/table.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { meaningByWord, plainName } from '../engine/files/column-words.ts'
import { fitKind } from './fit-kind.ts'
import { answersOf, questionOptions } from './fit-questions.ts'
import { fitSeveral, isComparison } from './fit-several.ts'
import { fitInWords } from './fit-tables.ts'
import { fileOptions, settingsOf, taker } from './options.ts'
import { surfaceOptions } from './surface-options.ts'
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
    model: {
      value: '"log(thickness) ~ log(speed) + time"',
      help: 'a model that is linear in its terms; several are compared',
      repeat: true,
    },
    equation: { value: '"thickness = a*speed^(-b) + c"', help: 'or an equation with parameters of its own' },
    start: { value: 'a=1e5,b=0.5,c=0', help: 'where the parameters of the equation start' },
    bounds: { value: '"b=0:1,c=0:"', help: 'within what they stay; an end left out is open' },
    'spin-curve': {
      value: 'power|offset',
      help: 'or thickness = K*speed^(-b), with an offset beside it: the apparent exponent b and its profile interval',
    },
    by: { value: 'COLUMN', help: 'a spin curve for each lot of this column' },
    speed: { value: 'COLUMN', help: 'the speed of the spin curve (speed or rpm)' },
    thickness: { value: 'COLUMN', help: 'the thickness of the spin curve (thickness)' },
    weights: { value: 'COLUMN', help: 'weights, 1/variance' },
    random: { value: '"lot/wafer"', help: 'nested groups of a model whose variances are estimated too' },
    stated: {
      value: 'GROUP=SD[/DF],…',
      help: 'a standard deviation known for groups of --random, on the scale of the model’s response, taken as it is or worth DF degrees of freedom',
      repeat: true,
    },
    earlier: {
      value: 'GROUP=SD[/DF],…',
      help: 'the same from earlier studies, used only where these runs leave under 3 degrees of freedom or an estimate of 0',
      repeat: true,
    },
    robust: { value: 'huber|bisquare', help: 'a fit that a few bad runs do not carry away' },
    ...surfaceOptions,
    'exponent-prior': { value: 'MEAN,SD', help: 'what is believed of the spin exponent before the runs' },
    'leave-out': {
      value: '"session/visit"',
      help: 'compare models by leaving out such groups whole, not run by run',
    },
    at: { value: 'speed=3000,time=30', help: 'predict at these settings', repeat: true },
    against: { value: 'speed=2000,time=30', help: 'compare the predictions of --at with the one here' },
    ...questionOptions,
    level: { value: '0.95', help: 'level of all intervals (0.95)' },
    ...fileOptions,
  },
  more: modelGrammar,
  async run(given) {
    if (isComparison(given)) return fitSeveral(given, Object.keys(fit.options))
    const { problems, take, share } = taker(given)
    const level = share('level', 0.95)
    const at = given.texts('at').map((text) => take(settingsOf(text, 'at')) ?? {})
    const base = given.texts('against').map((text) => take(settingsOf(text, 'against')) ?? {})
    if (base.length > 0 && at.length === 0)
      take(refuse('missingOption', '--against compares predictions with a base: give --at too.'))
    const kind = take(fitKind(given))
    if (kind === null || problems.length > 0) return { ok: false, problems }
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
    const found = kind(options)
    if (!found.ok) return file.value.atItsRow(found)
    const { fitted, told, ofFormula, plain } = found.value
    const settings = at.map((one) => asInTable(one, file.value.table))
    const answers = answersOf(given, { ...options, model: told.text, ofFormula, at: settings })
    if (!answers.ok) return file.value.atItsRow(answers)
    const places = take(placesFor(answers.value.at, 'at', file.value, fitted))
    const compared = base.map((one) => asInTable(one, file.value.table))
    const against = take(placesFor(compared, 'against', file.value, fitted))
    if (places === null || against === null) return { ok: false, problems }
    const whole = { ...fitted.report(places, against[0]), ...answers.value.blocks }
    const swapped = plain && swappedProblem(plain, namesOfRows(file.value))
    const report = file.value.reportAtItsRows(
      swapped === null ? whole : { ...whole, problems: [swapped, ...whole.problems] },
    )
    return good({
      exit: 0,
      json: report,
      text: fitInWords(told, report),
      notes: [...new Set([...file.value.notes, ...report.problems.map(inWords), ...howToState(report)])],
    })
  },
}

/** The option that gives a variance that these runs hardly tell. */
function howToState({ problems }: Fit): string[] {
  const hardlyKnown = ['fewStratumDf', 'zeroVariance']
  return problems
    .filter(({ code, column }) => hardlyKnown.includes(code) && column !== 'residual')
    .map(
      ({ column: group }) =>
        `The standard deviation of ${group} is stated with --stated "${group}=SD" or, from some degrees of freedom, "${group}=SD/DF".`,
    )
}

/** What the rows of a file are called: by the texts of its column of runs, else by their number. */
function namesOfRows({ table, rows }: FileTable): (row: number) => string {
  const runs = table.columns.find(({ name }) => meaningByWord.get(plainName(name)) === 'run')
  return (row) => {
    const name = runs?.values[row]
    return typeof name === 'string' ? name : `row ${rows[row]}`
  }
}

/** Settings with numbers as texts where the column of the table is one of names. */
function asInTable(settings: Settings, table: Table): Settings {
  const named = new Set(table.columns.filter(isCategorical).map(({ name }) => name))
  return Object.fromEntries(
    Object.entries(settings).map(([name, value]) => [name, named.has(name) ? String(value) : value]),
  )
}

/** Settings that suit the fit: every name a column of the table, enough of them and known ones. */
function placesFor(
  at: Settings[],
  option: 'at' | 'against',
  file: FileTable,
  fitted: Pick<AnyFit, 'cannotPredict'>,
): Answer<Settings[]> {
  const unknown = at.flatMap((settings) =>
    Object.keys(settings).filter((name) => columnNamed(file.table, name) === undefined),
  )
  if (unknown.length > 0)
    return {
      ok: false,
      problems: [...new Set(unknown)].map((name) => ({
        code: 'unknownColumn',
        message: `--${option}: there is no column ‘${name}’. There are ${file.table.columns.map((column) => column.name).join(', ')}.`,
        column: name,
      })),
    }
  const bad = fitted
    .cannotPredict(at)
    .filter(({ code }) => code === 'missingSetting' || code === 'unknownLevel')
    .map((problem) => ({ ...problem, message: `--${option}: ${problem.message}` }))
  return bad.length > 0 ? { ok: false, problems: bad } : good(at)
}
