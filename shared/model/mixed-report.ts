import type { Fit } from '../contract/results/fit.ts'
import { tQuantile, tTwoSided } from './distributions.ts'
import { spreadsheetRow } from './frame.ts'
import { groupEffects } from './group-effects.ts'
import { fixedEffects, keptNames, type MixedFit, type VarianceSource, variancesOf } from './mixed-fit.ts'
import { marginalMixedTests, sequentialTests } from './mixed-tests.ts'
import { notEstimable } from './report.ts'
import { statedEffect } from './stated-effect.ts'
import { form, inner } from './symmetric.ts'

/**
 * The statistics of a fit with groups, on the model's scale. Sums of squares are on the scale of the residual
 * variance, F·df·σ², so that F is their mean square over the residual's even where the term is tested in an outer
 * stratum. Fitted values and residuals of runs take in the predicted effects of their groups.
 *
 * @param alone the fit by the runs alone: the same one where nothing is stated, null where there is none
 */
export function mixedReport(
  fit: MixedFit,
  alone: MixedFit | null,
  level: number,
): Omit<Fit, 'predictions' | 'problems'> {
  const { fitted, reduced, strata } = fit
  const variances = variancesOf(fit)
  const residual = variances.at(-1) as number
  const df = strata.at(-1) as number
  return {
    n: reduced.rows,
    df,
    dfMethod: 'satterthwaite',
    residualStandardDeviation: Math.sqrt(residual),
    rSquared: null,
    rSquaredAdjusted: null,
    rSquaredPredicted: null,
    press: null,
    logLikelihood: restrictedLogLikelihood(fit),
    // Restricted likelihoods of models with different fixed effects do not compare, so neither would this.
    aicc: null,
    terms: termTable(fit, level),
    notEstimable: notEstimable(fitted),
    analysisOfVariance: [
      ...sequentialTests(fit).map(({ term, df: own, f, p }) => ({
        source: term,
        df: own,
        sumOfSquares: f * own * residual,
        meanSquare: f * residual,
        f,
        p,
      })),
      { source: 'residual', df, sumOfSquares: df * residual, meanSquare: residual, f: null, p: null },
    ],
    marginalTests: marginalMixedTests(fit).map(({ term, df: own, f, p }) => ({ term, df: own, f, p })),
    lackOfFit: null,
    varianceComponents: variances.map((variance, g) => ({
      group: reduced.tree.names[g] ?? 'residual',
      variance,
      standardDeviation: Math.sqrt(variance),
      df: strata[g] as number,
      source: fit.sources[g] as VarianceSource,
      ...statedOf(fit, g),
    })),
    ...(alone === fit ? {} : { statedEffect: statedEffect(fit, alone, level) }),
    runs: mixedRuns(fit),
  }
}

function statedOf(fit: MixedFit, g: number): Pick<Fit['varianceComponents'][number], 'stated'> {
  const one = fit.stated[g]
  if (!one) return {}
  return { stated: { standardDeviation: Math.sqrt(one.variance), df: one.df ?? null } }
}

/** −½·[(n − p)·ln 2π + ln|V| + ln|X′V⁻¹X| + r′V⁻¹r], in the units of the model. */
function restrictedLogLikelihood({ fitted, reduced, maximum }: MixedFit): number {
  const { r, scales } = fitted.solution.factorization
  const columns = r.reduce((sum, column, k) => sum + Math.log(Math.abs(column.hi[k]!) * scales[k]!), 0)
  const weights = reduced.roots.reduce((sum, root) => sum + Math.log(root), 0)
  const free = reduced.rows - reduced.p
  return (
    -0.5 * (free * Math.log(2 * Math.PI) + maximum.at.deviance) -
    free * Math.log(reduced.unit) -
    columns +
    weights
  )
}

function termTable(fit: MixedFit, level: number): Fit['terms'] {
  const names = keptNames(fit)
  return fixedEffects(fit).map(({ estimate, variance, df }, k) => {
    const standardError = Math.sqrt(variance)
    const reach = tQuantile((1 + level) / 2, df) * standardError
    return {
      term: names[k] as string,
      estimate,
      standardError,
      df,
      t: estimate / standardError,
      p: tTwoSided(estimate / standardError, df),
      lower: estimate - reach,
      upper: estimate + reach,
    }
  })
}

/**
 * With P = V⁻¹ − V⁻¹X(X′V⁻¹X)⁻¹X′V⁻¹, fitted values are y − R·P·y. Deleted residuals and Cook's distances hold the
 * variances (Christensen, Pearson & Johnson, Technometrics 34, 1992).
 */
function mixedRuns(fit: MixedFit): Fit['runs'] {
  const { fitted, reduced, maximum } = fit
  const { p, entries, roots, tree, unit } = reduced
  const size = p + 1
  const { effects, spreads } = groupEffects(reduced, maximum.variances)
  const { covariance, estimates } = maximum.at
  const residual = maximum.variances.at(-1) as number
  const inside = effects.at(-1) as Float64Array
  return fitted.frame.rows.map((row, i) => {
    const group = tree.groupOfRow[i]!
    const root = roots[i]!
    const weighed = Float64Array.from(
      { length: size },
      (_, k) => (entries[i * size + k]! - root * inside[group * size + k]!) / residual,
    )
    const on = weighed.subarray(0, p)
    const py = weighed[p]! - inner(on, estimates)
    const share = form(covariance, p, on, on)
    const own = 1 / residual - (root * root * spreads.at(-1)![group]!) / residual ** 2 - share
    const free = own * residual > 1e-10
    const left = (residual * py * unit) / root
    return {
      row: spreadsheetRow(row),
      fitted: fitted.frame.response[i]! - left,
      residual: left,
      leverage: 1 - residual * own,
      studentized: free ? py / Math.sqrt(own) : null,
      cooksDistance: free ? ((py / own) ** 2 * share) / p : null,
    }
  })
}
