import type { Settings } from '../contract/things.ts'
import { groupEffects } from './group-effects.ts'
import { whitener } from './least-squares.ts'
import { estimateAt, type MixedFit, satterthwaite } from './mixed-fit.ts'
import type { SessionOfData } from './mixed-predict.ts'
import { rowsOf } from './predict.ts'
import { form, inner, solveLower } from './symmetric.ts'

/**
 * What the fit says of one run at a setting on the model's scale, every group counted as new: the mean, its variance, and
 * the degrees of freedom of the variance of a run. Two `whitened` rows multiply to the covariance of their means. Made
 * for a search, which asks at thousands of settings; null where no prediction can be given.
 */
export function runOutlooks(fit: MixedFit) {
  const { reduced, maximum, fitted } = fit
  const { p, unit } = reduced
  const rowOf = rowsOf(fitted)
  const onQ = whitener(fitted.solution)
  const own = maximum.variances.reduce((sum, variance) => sum + variance, 0)
  const slopes = new Float64Array(maximum.variances.length)
  return (settings: Settings) => {
    const row = rowOf(settings)
    if (!row.ok) return null
    const z = onQ(row.value)
    const whitened = solveLower(maximum.at.factor, p, z)
    const variance = inner(whitened, whitened)
    maximum.at.covarianceSlopes.forEach((slope, i) => {
      slopes[i] = form(slope, p, z, z) + 1
    })
    for (let k = 0; k < p; k++) whitened[k]! *= unit
    return {
      mean: estimateAt(fit, row.value, z),
      variance: variance * unit ** 2,
      whitened,
      df: satterthwaite(fit, variance + own, slopes),
    }
  }
}

/**
 * What a run tells at a setting, made in a session of the data and in no other group of it: its row less what that
 * session's runs tell already, whitened, and the variance of its reading besides. Without a session every group of it
 * is new. Of that noise, `session` and `visit` are what all further runs there share, and those at one visit.
 */
export function runsHere(fit: MixedFit, inside: SessionOfData | null) {
  const { reduced, maximum, fitted } = fit
  const { p, unit } = reduced
  const size = p + 1
  let known = new Float64Array(p)
  let session = 0
  if (inside) {
    const { effects, spreads } = groupEffects(reduced, maximum.variances)
    known = effects[0]!.slice(inside.group * size, inside.group * size + p)
    session = spreads[0]![inside.group]!
  }
  const within = maximum.variances.slice(inside ? 1 : 0)
  const own = within.at(-1)!
  const visit = within.reduce((sum, variance) => sum + variance, 0) - own
  const besides = {
    session: session * unit ** 2,
    visit: visit * unit ** 2,
    noise: (session + visit + own) * unit ** 2,
  }
  const rowOf = rowsOf(fitted)
  const onQ = whitener(fitted.solution)
  return (settings: Settings) => {
    const row = rowOf(settings)
    if (!row.ok) return null
    const z = onQ(row.value)
    for (let k = 0; k < p; k++) z[k]! -= known[k]!
    const whitened = solveLower(maximum.at.factor, p, z)
    for (let k = 0; k < p; k++) whitened[k]! *= unit
    return { whitened, ...besides }
  }
}
