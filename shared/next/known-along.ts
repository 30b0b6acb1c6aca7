import type { Choice, KnownAlong } from '../contract/results/next.ts'
import type { Settings } from '../contract/things.ts'
import { slopeToMeasured } from '../model/response.ts'
import { inner } from '../model/symmetric.ts'
import { strongest } from './reach.ts'
import type { Work } from './work.ts'

const points = 41

/**
 * How well the mean is known along the factor that moves it most, the others at the first choice: now, and after each
 * choice, made on a day of its own where days differ. Standard errors in the response's own unit, (X′V⁻¹X + rr′/s²)⁻¹ by Sherman &
 * Morrison (Ann. Math. Statist. 21, 1950, 124–127).
 *
 * @returns null where there is no choice, no factor to walk along, or no prediction on the way
 */
export function knownAlong(work: Work, choices: readonly Choice[]): KnownAlong | null {
  const { axes, predictor, options } = work
  const axis = axes[strongest(work)]
  const [first] = choices
  if (first === undefined || axis === undefined || axis.factor.kind === 'categorical' || axis.size < 2)
    return null
  const runs = choices.map(({ settings }) => {
    if (predictor.scope === 'sameSession') return predictor.here(settings)
    const outlook = predictor.at(settings)
    return outlook && { whitened: outlook.whitened, noise: predictor.noise }
  })
  const indices = Array.from({ length: points }, (_, k) => axis.nearest(k / (points - 1)))
  const along = [...new Set(indices)].flatMap((index) => {
    const settings: Settings = { ...first.settings, [axis.name]: axis.setting(index) }
    const outlook = predictor.at(settings)
    if (outlook === null) return []
    const inUnit = (variance: number) =>
      Math.sqrt(Math.max(variance, 0)) * Math.abs(slopeToMeasured(predictor.scale, outlook.mean))
    const after = runs.map((run) => {
      if (run === null) return inUnit(outlook.variance)
      const shared = inner(outlook.whitened, run.whitened)
      return inUnit(outlook.variance - shared ** 2 / (run.noise + inner(run.whitened, run.whitened)))
    })
    return [{ x: axis.setting(index) as number, now: inUnit(outlook.variance), after }]
  })
  if (along.length < 2) return null
  const { unit = '' } = options.region.find(({ name }) => name === axis.name) ?? {}
  return { factor: axis.name, unit, at: first.settings, scope: predictor.scope, points: along }
}
