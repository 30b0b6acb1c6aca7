import type { Fit } from '../../shared/contract/results/fit.ts'
import { apparentExponentTerm } from '../../shared/model/apparent-exponent.ts'
import { scaleOf } from '../../shared/model/fit-words.ts'
import { termWords } from '../../shared/model/term-words.ts'
import { scopeInWords } from '../../shared/next/scope.ts'
import { answersInWords } from './fit-questions.ts'
import { lackOfFitByStratum, variancesInWords } from './group-tables.ts'
import {
  type Cell,
  digits,
  honest,
  numeric,
  printTable,
  probability,
  settingsInWords,
  span,
} from './print.ts'
import { surfaceInWords } from './surface-tables.ts'

/** What is told of a fit besides its report. */
export type ToldFit = {
  /** The model or equation. */
  text: string
  responseName: string
  /** The response on the scale of the fit, such as log(thickness). */
  responseText: string
  unit: string
  /** Of a column; empty where it has none. */
  unitOf: (column: string) => string
  /** What an estimate is of the response: under a transformation it is the median. */
  estimate: 'mean' | 'median'
  level: number
  /** What was stated of the apparent exponent before the runs; it stands in every number of the fit. */
  prior?: { mean: number; sd: number }
}

/** A fit in tables: how good it is, its terms, its tests, its runs, its predictions. */
export function fitInWords(model: ToldFit, report: Fit): string {
  const parts = [
    summary(model, report),
    ...surfaceInWords(report),
    terms(model, report),
    ...termsInWords(model, report),
    ...apparentExponent(model, report),
    ...analysisOfVariance(report),
    ...variancesInWords(report),
    ...lackOfFit(report),
    ...lackOfFitByStratum(report),
    ...answersInWords(report).map((words) => `${words}${withPrior(model, ' ')}`),
    runs(model, report),
  ]
  if (report.notEstimable.length > 0)
    parts.splice(
      2,
      0,
      report.notEstimable.map(({ term, because }) => `${term} cannot be estimated: ${because}.`).join('\n'),
    )
  if (report.predictions.length > 0) parts.push(predictions(model, report))
  if (report.differences && report.differences.length > 0) parts.push(differences(model, report.differences))
  return parts.join('\n\n')
}

function summary(model: ToldFit, report: Fit): string {
  const figures: [string, string][] = [
    ['model', model.text],
    ['runs', `${report.n}, ${report.df} degrees of freedom left`],
    ['residual sd', `${digits(report.residualStandardDeviation, 5)} on the scale of ${model.responseText}`],
  ]
  if (report.rSquared !== null)
    figures.push([
      'R²',
      `${digits(report.rSquared, 5)}, adjusted ${digits(report.rSquaredAdjusted, 5)}, predicted ${digits(report.rSquaredPredicted, 5)}`,
    ])
  if (model.prior)
    figures.push([
      'prior',
      `apparent exponent ${priorInWords(model.prior)} (one standard deviation), stated before the runs`,
    ])
  if (report.dfMethod === 'satterthwaite')
    figures.push(['df of terms', 'by Satterthwaite, with the expected information of the variances'])
  if (report.press !== null) figures.push(['PRESS', digits(report.press, 5)])
  figures.push([
    'log-likelihood',
    `${digits(report.logLikelihood, 6)}, AICc ${digits(report.aicc, 6)} on the scale of ${model.responseText}`,
  ])
  if (report.stopReason !== undefined) figures.push(['search', report.stopReason])
  const width = Math.max(...figures.map(([name]) => name.length))
  return figures.map(([name, value]) => `${name.padEnd(width)}  ${value}`).join('\n')
}

/** Names the prior beside numbers that it stands in; nothing where there is none. */
function withPrior({ prior }: ToldFit, before: string): string {
  return prior ? `${before}(With the stated prior of the apparent exponent, ${priorInWords(prior)}.)` : ''
}

const priorInWords = ({ mean, sd }: { mean: number; sd: number }) => `${mean} ± ${sd}`

function termsInWords({ text, unit, unitOf, level, responseName }: ToldFit, report: Fit): string[] {
  const response = { name: responseName, unit, of: (value: number) => value }
  const words = report.terms
    .map((term) => termWords(term, { scale: scaleOf(text), all: report.terms, level, unitOf, response }))
    .filter((sentence) => sentence !== '')
  return words.length === 0 ? [] : [words.join('\n')]
}

function apparentExponent(model: ToldFit, report: Fit): string[] {
  const name = apparentExponentTerm(model.text)
  const slope = report.terms.find(({ term }) => term === name)
  if (!slope) return []
  const { estimate, standardError, lower, upper } = slope
  const turned = (value: number | null) => honest(value === null ? null : -value, standardError)
  return [
    `Apparent exponent, minus the slope of ${name}: ${turned(estimate)}, ${turned(upper)} to ${turned(lower)} ` +
      `at a level of ${model.level}; it holds for these tools and this range.${withPrior(model, ' ')}`,
  ]
}

function terms(model: ToldFit, report: Fit): string {
  // Else all terms have those of the residual.
  const ownDf = report.dfMethod !== 'residual'
  // With one term besides the constant there is nothing to inflate it.
  const inflated = report.terms.filter((term) => term.varianceInflation != null).length > 1
  const profiled = report.terms.some(({ profile }) => profile !== undefined)
  const ends = profiled ? [numeric('profile lower'), numeric('profile upper')] : []
  const table = printTable(
    [
      'term',
      numeric('estimate'),
      numeric('standard error'),
      numeric('lower'),
      numeric('upper'),
      ...ends,
      ...(ownDf ? [numeric('df')] : []),
      numeric('t'),
      numeric('p'),
      ...(inflated ? [numeric('inflation')] : []),
    ],
    report.terms.map((term): Cell[] => [
      term.term,
      honest(term.estimate, term.standardError === null ? null : term.standardError / 10),
      digits(term.standardError, 3),
      honest(term.lower, term.standardError),
      honest(term.upper, term.standardError),
      ...(ownDf ? [digits(term.df, 4)] : []),
      ...ends.map((_, k) => honest(term.profile?.[k] ?? null, term.standardError)),
      digits(term.t, 4),
      probability(term.p),
      ...(inflated ? [term.varianceInflation == null ? '' : digits(term.varianceInflation, 3)] : []),
    ]),
  )
  return headed(model, 'Terms', table)
}

/** A heading over a table; it names the prior that stands in its numbers, and is left out where `always` is not asked. */
function headed(model: ToldFit, what: string, table: string, always = false): string {
  if (model.prior)
    return `${what}, with the stated prior of the apparent exponent, ${priorInWords(model.prior)}:\n${table}`
  return always ? `${what}:\n${table}` : table
}

function analysisOfVariance(report: Fit): string[] {
  if (report.analysisOfVariance.length === 0) return []
  const table = printTable(
    ['source', numeric('df'), numeric('sum of squares'), numeric('mean square'), numeric('F'), numeric('p')],
    report.analysisOfVariance.map((line): Cell[] => [
      line.source,
      String(line.df),
      digits(line.sumOfSquares, 5),
      digits(line.meanSquare, 5),
      line.f === null ? '' : digits(line.f, 4),
      line.p === null ? '' : probability(line.p),
    ]),
  )
  return [table]
}

function lackOfFit({ lackOfFit: test }: Fit): string[] {
  if (test === null) return []
  const { df, pureErrorDf, f, p } = test
  return [
    `Lack of fit against repeated runs: F(${df}, ${pureErrorDf}) = ${digits(f, 4)}, p ${probability(p)}`,
  ]
}

function runs(model: ToldFit, report: Fit): string {
  const spread = report.residualStandardDeviation
  const weighed = report.runs.some(({ weight }) => weight !== undefined)
  const table = printTable(
    [
      numeric('row'),
      numeric(`fitted ${model.responseText}`),
      numeric('residual'),
      numeric('leverage'),
      numeric('studentized'),
      weighed ? numeric('weight') : numeric('Cook'),
    ],
    report.runs.map((run): Cell[] => [
      String(run.row),
      honest(run.fitted, spread),
      honest(run.residual, spread),
      digits(run.leverage, 3),
      digits(run.studentized, 3),
      weighed ? digits(run.weight ?? null, 3) : digits(run.cooksDistance, 3),
    ]),
  )
  return headed(model, 'Runs', table)
}

function predictions(model: ToldFit, report: Fit): string {
  const { unit, estimate: kind } = model
  const inUnit = (name: string) => numeric(unit === '' ? name : `${name} (${unit})`)
  const table = printTable(
    [
      'at',
      inUnit(`${kind} of ${model.responseName}`),
      numeric('standard error'),
      numeric(`${kind}, interval`),
      numeric('one new run, interval'),
      'scope',
    ],
    report.predictions.map((one): Cell[] => [
      settingsInWords(one.at),
      honest(one.estimate, one.standardErrorOfMean),
      digits(one.standardErrorOfMean, 2),
      span(one.confidence),
      span(one.prediction),
      scopeInWords(one),
    ]),
  )
  const said = headed(model, `Predictions, intervals at a level of ${model.level}`, table, true)
  const compared = report.predictions.filter(({ without }) => without !== undefined)
  if (compared.length === 0) return said
  const alone = printTable(
    ['at', numeric(`${kind}, interval`), numeric('one new run, interval'), 'scope'],
    compared.map((one): Cell[] => [
      settingsInWords(one.at),
      one.without ? span(one.without.confidence) : 'none',
      one.without ? span(one.without.prediction) : 'none',
      scopeInWords(one),
    ]),
  )
  return `${said}\n\nThe same by these runs alone, without the stated variances:\n${alone}`
}

function differences(model: ToldFit, compared: NonNullable<Fit['differences']>): string {
  const { kind, against } = compared[0] as (typeof compared)[number]
  const unit = kind === 'difference' && model.unit !== '' ? ` (${model.unit})` : ''
  const table = printTable(
    [
      'at',
      numeric(`${kind} of ${model.responseName}${unit}`),
      numeric('standard error'),
      numeric('interval'),
    ],
    compared.map((one): Cell[] => [
      settingsInWords(one.at),
      honest(one.estimate, one.standardError),
      digits(one.standardError, 2),
      span(one.confidence),
    ]),
  )
  return `Against ${settingsInWords(against)}, intervals at a level of ${model.level}:\n${table}`
}
