import type { PredictionResult } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { tQuantile } from './distributions.ts'
import { type GroupEffects, groupEffects } from './group-effects.ts'
import {
  estimateAt,
  type MixedFit,
  onQ,
  satterthwaite,
  slopesAlong,
  type VarianceSource,
} from './mixed-fit.ts'
import { notNamed } from './nested-groups.ts'
import { rowAt } from './predict.ts'
import { inOwnUnit } from './prediction.ts'
import { type RestrictedPoint, restrictedAt } from './restricted-likelihood.ts'
import { form, inner } from './symmetric.ts'

/**
 * Predictions at the settings, in the response's own unit. The interval for one new run counts every level of the
 * groups as new: a new lot, in it a new wafer. Where the outermost groups are sessions there are two predictions:
 * one for a session of the data, with the best linear unbiased prediction of its effect (Henderson, Biometrics 31,
 * 1975), and one for another session, whose variance then stands twice, for the new session and for those inside the fit.
 *
 * Degrees of freedom are those of the mean; the interval for a run has its own, which differ.
 *
 * @param options.session of the data that the first is for; null where the outermost groups are no sessions
 * @param options.otherSession whether every group new makes another session
 */
export function predictMixed(
  fit: MixedFit,
  at: Settings,
  options: { level: number; session: SessionOfData | null; otherSession: boolean },
): Answer<PredictionResult[]> {
  const row = rowAt(fit.fitted, at)
  if (!row.ok) return row
  const z = onQ(fit, row.value)
  const estimate = estimateAt(fit, row.value, z)
  const every = Float64Array.from(fit.maximum.variances, () => 1)
  const wide = { estimate, ...spreadOf(fit, z), others: every }
  const others = every.slice()
  others[0] = 0
  const { session, level } = options
  const answers = session
    ? [
        result(
          fit,
          at,
          { scope: 'sameSession', ...named(session) },
          { ...inSession(fit, { estimate, z }, session.group), others },
          level,
        ),
        result(fit, at, { scope: 'otherSession' }, wide, level),
      ]
    : [result(fit, at, { scope: options.otherSession ? 'otherSession' : 'sameSession' }, wide, level)]
  const problems: Problem[] = answers.flatMap((answer) => (answer.ok ? [] : answer.problems))
  if (problems.length > 0) return { ok: false, problems: problems.slice(0, 1) }
  return good(answers.flatMap((answer) => (answer.ok ? [answer.value] : [])))
}

/** A session of the data: its name, and its place among the outermost groups. */
export type SessionOfData = { name: string; group: number }

const named = ({ name }: SessionOfData) => (name === notNamed ? {} : { session: name })

/** Estimate in the model response's unit; its variance and slopes in the fit's own. */
type Mean = { estimate: number; variance: number; slopes: Float64Array }

/** Variance of the fixed effects at z, with its slopes by the variances. */
function spreadOf(fit: MixedFit, z: Float64Array): Pick<Mean, 'variance' | 'slopes'> {
  return { variance: form(fit.maximum.at.covariance, fit.reduced.p, z, z), slopes: slopesAlong(fit, z) }
}

/** What the sessions of the data are known to be, given the variances. */
type Known = GroupEffects & { point: RestrictedPoint | null }

/** A difference by one of the variances: what is known on its two sides, which lie so far apart. */
type Beside = { above: Known; below: Known; apart: number }

/** Step for slopes by differences, relative to the size of the variances. */
const differenceStep = 1e-5

const sessionsOf = new WeakMap<MixedFit, { here: Known; beside: Beside[] }>()

/** The same at the variances of the fit and beside them. Computed once for each fit: it serves every prediction. */
function knownSessions(fit: MixedFit) {
  const before = sessionsOf.get(fit)
  if (before) return before
  const { reduced, maximum } = fit
  const knownAt = (variances: Float64Array): Known => ({
    ...groupEffects(reduced, variances),
    point: restrictedAt(reduced, variances),
  })
  const here = knownAt(maximum.variances)
  const beside = Array.from(maximum.variances, (value, i): Beside => {
    const step = differenceStep * Math.max(value, 1e-3)
    const moved = (by: number) => knownAt(maximum.variances.map((own, k) => (k === i ? own + by : own)))
    const both = value >= step
    return { above: moved(step), below: both ? moved(-step) : here, apart: both ? 2 * step : step }
  })
  const known = { here, beside }
  sessionsOf.set(fit, known)
  return known
}

/** The fixed effects at z plus the predicted effect of a session of the data. */
function inSession(
  fit: MixedFit,
  { estimate, z }: { estimate: number; z: Float64Array },
  session: number,
): Mean {
  const { p, unit } = fit.reduced
  const { here, beside } = knownSessions(fit)
  const ownOf = ({ effects }: Known) => effects[0]!.subarray(session * (p + 1), (session + 1) * (p + 1))
  const varianceBy = (known: Known) => {
    const own = ownOf(known)
    const left = z.map((value, k) => value - own[k]!)
    return known.point
      ? known.spreads[0]![session]! + form(known.point.covariance, p, left, left)
      : Number.NaN
  }
  const own = ownOf(here)
  const shift = here.point ? own[p]! - inner(own.subarray(0, p), here.point.estimates) : 0
  return {
    estimate: estimate + unit * shift,
    variance: varianceBy(here),
    slopes: Float64Array.from(
      beside,
      ({ above, below, apart }) => (varianceBy(above) - varianceBy(below)) / apart,
    ),
  }
}

function result(
  fit: MixedFit,
  at: Settings,
  place: Pick<PredictionResult, 'scope' | 'session'>,
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
    ...place,
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
