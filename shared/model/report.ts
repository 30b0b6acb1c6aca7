import type { Fit } from '../contract/results/fit.ts'
import { analysisOfVariance, marginalTests, totalOf } from './analysis-of-variance.ts'
import { diagnostics } from './diagnostics.ts'
import { estimateTable } from './estimate-table.ts'
import { termText } from './expression.ts'
import type { Fitted } from './fitted.ts'
import { lackOfFit } from './lack-of-fit.ts'
import { aicc, logLikelihood } from './likelihood.ts'
import { varianceInflation } from './variance-inflation.ts'

/** A fit that leaves less than this share of the sum of squares goes through every run. */
const exactShare = 1e-24

/** Whether the model goes through every run, so that standard errors are nothing but rounding. */
export function isExact(fitted: Fitted): boolean {
  return fitted.solution.residualSumOfSquares <= exactShare * totalOf(fitted).sumOfSquares
}

/** The statistics of a fit, without its predictions and problems. Definitions: see the fields of {@link Fit}. */
export function reportOf(fitted: Fitted, level: number): Omit<Fit, 'predictions' | 'problems'> {
  const { solution, variance, frame } = fitted
  const { runs, press } = diagnostics(fitted)
  const whole = totalOf(fitted)
  const shareOf = (part: number | null) =>
    part === null || whole.sumOfSquares === 0 ? null : 1 - part / whole.sumOfSquares
  const likelihood = isExact(fitted) ? null : logLikelihood(solution.residualSumOfSquares, frame)
  const inflation = varianceInflation(fitted)
  const plain = reportWithoutTests(fitted, level)
  return {
    ...plain,
    rSquared: shareOf(solution.residualSumOfSquares),
    rSquaredAdjusted:
      variance === null || whole.sumOfSquares === 0 ? null : 1 - variance / (whole.sumOfSquares / whole.df),
    rSquaredPredicted: shareOf(press),
    press,
    logLikelihood: likelihood,
    aicc: aicc(likelihood, frame.rows.length, solution.rank + 1),
    terms: plain.terms.map((term, k) => ({ ...term, varianceInflation: inflation[k] ?? null })),
    analysisOfVariance: analysisOfVariance(fitted),
    marginalTests: marginalTests(fitted),
    lackOfFit: lackOfFit(fitted),
    runs,
  }
}

/** What a fit by runs of whatever weights says, without likelihoods, sums of squares and tests of terms. */
export function reportWithoutTests(
  fitted: Fitted,
  level: number,
): Omit<Fit, 'predictions' | 'problems' | 'runs'> {
  const { solution, columns, frame, variance } = fitted
  return {
    n: frame.rows.length,
    df: solution.df,
    dfMethod: 'residual',
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    rSquared: null,
    rSquaredAdjusted: null,
    rSquaredPredicted: null,
    press: null,
    logLikelihood: null,
    aicc: null,
    terms: estimateTable(
      solution.factorization.kept.map((column) => columns[column]?.name ?? ''),
      solution.estimates.hi,
      fitted,
      level,
    ),
    notEstimable: notEstimable(fitted),
    analysisOfVariance: [],
    marginalTests: [],
    lackOfFit: null,
    varianceComponents: [],
  }
}

/** Terms and columns of the model that its runs cannot tell apart from others. */
export function notEstimable({ formula, solution, columns }: Fitted): Fit['notEstimable'] {
  const { kept, dropped } = solution.factorization
  const without = formula.terms.flatMap((term, index) =>
    columns.some((column) => column.term === index)
      ? []
      : [{ term: termText(term), because: 'it has only one level in the runs used' }],
  )
  const combined = dropped.map(({ column, coefficients }) => {
    const others = kept.filter((_, k) => coefficients[k] !== 0).map((index) => columns[index]?.name ?? '')
    return { term: columns[column]?.name ?? '', because: because(others) }
  })
  return [...without, ...combined]
}

function because(others: string[]): string {
  if (others.length === 0) return 'it is 0 in every run used'
  if (others.length === 1)
    return others[0] === 'constant'
      ? 'it has the same value in every run used'
      : `in the runs used it is a multiple of ${others[0]}`
  return `in the runs used it is a combination of ${others.slice(0, -1).join(', ')} and ${others.at(-1)}`
}
