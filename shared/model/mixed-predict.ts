import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { tQuantile } from './distributions.ts'
import type { Paired } from './double-double.ts'
import { solveTransposed } from './factorize.ts'
import { groupEffects } from './group-effects.ts'
import { combinationOf, type MixedFit, satterthwaite, slopesAlong, type VarianceSource } from './mixed-fit.ts'
import { rowAt } from './predict.ts'
import { inOwnUnit } from './prediction.ts'
import { restrictedAt } from './restricted-likelihood.ts'
import { form, inner, solveLower } from './symmetric.ts'

/**
 * Predictions at the settings, in the response's own unit. The interval for one new run counts every level of the
 * groups as new: a new lot, in it a new wafer. Where the outermost groups are sessions there are two predictions:
 * one for the mean of the sessions of the data, and one for another session, whose variance then stands twice,
 * for the new session and for those inside the fit.
 *
 * Degrees of freedom are those of the mean; the interval for a run has its own, which differ.
 *
 * @param sessions whether the outermost groups are sessions; null where a session is among the inner ones
 */
export function predictMixed(
  fit: MixedFit,
  at: Settings,
  options: { level: number; sessions: boolean | null },
): Answer<PredictionResult[]> {
  const row = rowAt(fit.fitted, at)
  if (!row.ok) return row
  const { variances } = fit.maximum
  const every = Float64Array.from(variances, () => 1)
  const wide = { ...meanOf(fit, row.value), others: every }
  const others = every.slice()
  others[0] = 0
  const answers =
    options.sessions === true
      ? [
          result(fit, at, 'sameSession', { ...sessionMean(fit, row.value), others }, options.level),
          result(fit, at, 'otherSession', wide, options.level),
        ]
      : [result(fit, at, options.sessions === null ? 'otherSession' : 'sameSession', wide, options.level)]
  const problems: Problem[] = answers.flatMap((answer) => (answer.ok ? [] : answer.problems))
  if (problems.length > 0) return { ok: false, problems: problems.slice(0, 1) }
  return good(answers.flatMap((answer) => (answer.ok ? [answer.value] : [])))
}

/**
 * What the fit says of one run at a setting on the model's scale, every group counted as new: the mean, its variance,
 * and the variance of a run with its degrees of freedom. Two `whitened` rows multiply to the covariance of their means.
 */
export function runOutlook(fit: MixedFit, x: Paired) {
  const { reduced, maximum, fitted } = fit
  const { p, unit } = reduced
  const z = solveTransposed(fitted.solution.factorization, x).hi
  const whitened = solveLower(maximum.at.factor, p, z)
  const variance = inner(whitened, whitened)
  const total = variance + maximum.variances.reduce((sum, own) => sum + own, 0)
  const slopes = slopesAlong(fit, z).map((slope) => slope + 1)
  return {
    mean: combinationOf(fit, x).estimate,
    variance: variance * unit ** 2,
    whitened: whitened.map((value) => value * unit),
    runVariance: total * unit ** 2,
    df: satterthwaite(fit, total, slopes),
  }
}

/**
 * What a run tells at a setting, made in the session of the last run of the fit and in no other group of it: its row
 * less what that session's runs tell already, whitened, and the variance of its reading besides. Without sessions every
 * group of it is new. Of that noise, `session` and `visit` are what all further runs there share, and those at one visit.
 */
export function runHere(fit: MixedFit, sessions: boolean) {
  const { reduced, maximum, fitted } = fit
  const { p, unit, tree } = reduced
  const size = p + 1
  let known = new Float64Array(p)
  let session = 0
  if (sessions) {
    const { effects, spreads } = groupEffects(reduced, maximum.variances)
    let group = tree.groupOfRow.at(-1) as number
    for (let g = tree.counts.length - 1; g > 0; g--) group = tree.parents[g]![group]!
    known = effects[0]!.slice(group * size, group * size + p)
    session = spreads[0]![group]!
  }
  const within = maximum.variances.slice(sessions ? 1 : 0)
  const own = within.at(-1)!
  const visit = within.reduce((sum, variance) => sum + variance, 0) - own
  const besides = {
    session: session * unit ** 2,
    visit: visit * unit ** 2,
    noise: (session + visit + own) * unit ** 2,
  }
  return (settings: Settings) => {
    const row = rowAt(fitted, settings)
    if (!row.ok) return null
    const z = solveTransposed(fitted.solution.factorization, row.value).hi
    const left = z.map((value, k) => value - known[k]!)
    const whitened = solveLower(maximum.at.factor, p, left).map((value) => value * unit)
    return { whitened, ...besides }
  }
}

/** Estimate in the model response's unit; its variance and slopes in the fit's own. */
type Mean = { estimate: number; variance: number; slopes: Float64Array }

function meanOf(fit: MixedFit, x: Paired): Mean {
  const z = solveTransposed(fit.fitted.solution.factorization, x).hi
  return {
    estimate: combinationOf(fit, x).estimate,
    variance: form(fit.maximum.at.covariance, fit.reduced.p, z, z),
    slopes: slopesAlong(fit, z),
  }
}

/** Step for slopes by differences, relative to the size of the variances. */
const differenceStep = 1e-5

/** The fixed effects at x plus the mean of the effects of the sessions in the data. */
function sessionMean(fit: MixedFit, x: Paired): Mean {
  const { reduced, maximum } = fit
  const z = solveTransposed(fit.fitted.solution.factorization, x).hi
  const here = sessionSpread(fit, z, maximum.variances)
  const slopes = maximum.variances.map((value, i) => {
    const step = differenceStep * Math.max(value, 1e-3)
    const moved = (by: number) => {
      const variances = maximum.variances.slice()
      variances[i] = value + by
      return sessionSpread(fit, z, variances).variance
    }
    return value >= step ? (moved(step) - moved(-step)) / (2 * step) : (moved(step) - moved(0)) / step
  })
  const estimate = combinationOf(fit, x).estimate + reduced.unit * here.shift
  return { estimate, variance: here.variance, slopes }
}

function sessionSpread({ reduced }: MixedFit, z: Float64Array, variances: Float64Array) {
  const { p, tree } = reduced
  const size = p + 1
  const { effects, spreads } = groupEffects(reduced, variances)
  const sessions = tree.counts[0]!
  const mean = new Float64Array(size)
  effects[0]!.forEach((value, at) => {
    mean[at % size]! += value / sessions
  })
  const own = spreads[0]!.reduce((sum, spread) => sum + spread, 0) / sessions ** 2
  const left = z.map((value, k) => value - mean[k]!)
  const point = restrictedAt(reduced, variances)
  if (!point) return { shift: 0, variance: Number.NaN }
  return {
    shift: mean[p]! - inner(mean.subarray(0, p), point.estimates),
    variance: own + form(point.covariance, p, left, left),
  }
}

function result(
  fit: MixedFit,
  at: Settings,
  scope: PredictionResult['scope'],
  mean: Mean & { others: Float64Array },
  level: number,
): Answer<PredictionResult> {
  const { reduced, maximum, sources, fitted } = fit
  const total = mean.variance + inner(mean.others, maximum.variances)
  const slopes = mean.slopes.map((slope, i) => slope + mean.others[i]!)
  const df = satterthwaite(fit, mean.variance, mean.slopes)
  const runDf = satterthwaite(fit, total, slopes)
  const reach = (variance: number, own: number) =>
    tQuantile((1 + level) / 2, own) * Math.sqrt(variance) * reduced.unit
  return inOwnUnit({
    scale: fitted.frame.scale,
    at,
    scope,
    eta: mean.estimate,
    standardError: Math.sqrt(mean.variance) * reduced.unit,
    meanReach: reach(mean.variance, df),
    runReach: reach(total, runDf),
    df,
    runDf,
    varianceSource: sourceOf(sources),
  })
}

/** What a person stated counts before what came from earlier studies. */
function sourceOf(sources: VarianceSource[]): VarianceSource {
  if (sources.includes('stated')) return 'stated'
  return sources.includes('earlierStudies') ? 'earlierStudies' : 'estimated'
}
