import type { ModelComparison } from '../contract/results/fit.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { type Compared, cannotTell } from './comparison-words.ts'
import { columnOf } from './expression.ts'
import { type Fitted, fitFormula } from './fitted.ts'
import { columnsOf, type Formula, parseFormula } from './formula.ts'
import { spreadsheetRow } from './frame.ts'
import { lackOfFit } from './lack-of-fit.ts'
import { type LeftOut, leavingOutGroups, leavingOutRuns } from './left-out.ts'
import { aicc, logLikelihood } from './likelihood.ts'
import { groupTree, parseRandom } from './nested-groups.ts'
import { isExact, notEstimable } from './report.ts'
import { slopeToMeasured } from './response.ts'
import { columnNamed, type Table } from './table.ts'

export type CompareOptions = {
  table: Table
  /** Formulas of the same measured column, each on whatever scale it writes it. */
  models: string[]
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Groups that are left out whole, written as columns from the outermost in, such as session/plateVisit; without them
   * runs are left out one by one. */
  group?: string
  /** What a row of the table, counted from 0, is called in the sentences; `row 2` for the first unless given. */
  nameOf?: (row: number) => string
}

/**
 * Models of one measured quantity side by side, on the rows that all of them can use: how well each fits for its
 * number of terms, how well it predicts what it has not seen, whether repeats contradict it, and what the runs cannot
 * tell between them. Nothing is chosen.
 *
 * @returns problems where a formula cannot be read or does not suit the table, where the models are of different
 * quantities (`otherResponse`), or where none has fewer terms than there are runs
 */
export function compareModels(options: CompareOptions): Answer<ModelComparison> {
  const { table, weights, group, nameOf = (row) => `row ${spreadsheetRow(row)}` } = options
  const formulas = read(options.models)
  if (!formulas.ok) return formulas
  const groups = group === undefined ? good([]) : parseRandom(group)
  if (!groups.ok) return groups
  const also = [...formulas.value.flatMap(({ formula }) => columnsOf(formula.terms)), ...groups.value]
  const fits: { model: string; fitted: Fitted }[] = []
  const tooWide: { model: string; problems: Problem[] }[] = []
  for (const { model, formula } of formulas.value) {
    const fitted = fitFormula({ table, formula, also, ...(weights === undefined ? {} : { weights }) })
    if (fitted.ok) fits.push({ model, fitted: fitted.value })
    else if (fitted.problems.some(({ code }) => code === 'fewerRunsThanTerms'))
      tooWide.push({ model, problems: fitted.problems })
    else return fitted
  }
  const [first] = fits
  if (!first) return { ok: false, problems: tooWide[0]?.problems ?? [] }
  // All models are fitted to the same rows.
  const { groupOfRow } = groupTree(table, groups.value, first.fitted.frame.rows)
  const groupOf = group === undefined ? null : { group, groupOfRow, count: new Set(groupOfRow).size }
  const compared = fits.map(({ model, fitted }) => comparedOf(model, fitted, table, groupOf))
  const best = Math.min(...compared.map(({ row }) => row.aicc ?? Number.POSITIVE_INFINITY))
  for (const { row } of compared) row.aiccAbove = row.aicc === null ? null : row.aicc - best
  return good({
    models: compared.map(({ row }) => row),
    cannotTell: cannotTell({
      compared,
      tooWide: tooWide.map(({ model }) => model),
      group,
      groups: groupOf?.count ?? 1,
      weighted: weights !== undefined,
      nameOf,
    }),
    problems: first.fitted.frame.problems,
  })
}

/** The formulas, each once, all of one measured column. */
function read(models: string[]): Answer<{ model: string; formula: Formula }[]> {
  const found: { model: string; formula: Formula }[] = []
  for (const model of models) {
    const formula = parseFormula(model)
    if (!formula.ok) return formula
    const [first] = found
    const names = [first?.formula ?? formula.value, formula.value].map(({ response }) =>
      response === null ? null : columnOf(response),
    )
    if (names[0] !== names[1])
      return refuse(
        'otherResponse',
        `Models of ${names[0]} and of ${names[1]} do not compare: they are of different quantities.`,
        { column: 'model' },
      )
    const same = found.some((other) => JSON.stringify(other.formula) === JSON.stringify(formula.value))
    if (!same) found.push({ model, formula: formula.value })
  }
  return good(found)
}

function comparedOf(
  model: string,
  fitted: Fitted,
  table: Table,
  groupOf: { group: string; groupOfRow: Int32Array; count: number } | null,
): Compared {
  const { frame, solution } = fitted
  const n = frame.rows.length
  const leftOut =
    groupOf === null
      ? leavingOutRuns(fitted)
      : groupOf.count < 2
        ? null
        : leavingOutGroups(fitted, groupOf.groupOfRow)
  const measured = columnNamed(table, frame.scale.name)?.values ?? []
  const readings = frame.rows.map((row) => measured[row] as number)
  return {
    fitted,
    leftOut,
    notEstimable: notEstimable(fitted).map(({ term }) => term),
    row: {
      model,
      terms: solution.rank,
      n,
      df: solution.df,
      aicc: aicc(measuredLogLikelihood(fitted), n, solution.rank + 1),
      aiccAbove: null,
      ...errorsOf(leftOut, readings),
      leftOut: groupOf?.group ?? 'run',
      lackOfFit: lackOfFit(fitted),
    },
  }
}

/**
 * The log-likelihood of the measured values: that of the model's response plus Σ ln |dη/dy|, so that models of
 * different transformations compare (Box & Cox, Journal of the Royal Statistical Society B 26, 1964). Null where the
 * model goes through every run, or the transformation has no slope at a reading (the root of 0).
 */
function measuredLogLikelihood(fitted: Fitted): number | null {
  const { frame, solution } = fitted
  if (isExact(fitted)) return null
  const slopes = Array.from(frame.response, (eta) => Math.log(slopeToMeasured(frame.scale, eta)))
  const value = logLikelihood(solution.residualSumOfSquares, frame) - slopes.reduce((a, b) => a + b, 0)
  return Number.isFinite(value) ? value : null
}

/** Root mean squares of the errors of left-out predictions, and of those as fractions of what was measured. */
function errorsOf(leftOut: LeftOut | null, readings: number[]) {
  if (!leftOut?.ok) return { predictionError: null, relativePredictionError: null }
  const errors = leftOut.predicted.map((value, i) => value - (readings[i] as number))
  const rootMeanSquare = (values: number[]) =>
    Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length)
  return {
    predictionError: rootMeanSquare(errors),
    relativePredictionError: readings.every((y) => y > 0)
      ? rootMeanSquare(errors.map((error, i) => error / (readings[i] as number)))
      : null,
  }
}
