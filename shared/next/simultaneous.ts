import type { SetErrors } from '../contract/results/next.ts'
import { chiSquareQuantile } from '../model/distributions.ts'
import { seeded } from '../random.ts'

const draws = 20_480
/** The estimated deviation over the true one is taken at so many places of its distribution. */
const deviations = 512

/**
 * The factor by which the standard deviation of one run is widened so that intervals for a whole set of runs hold all
 * of them at once with the asked probability: the quantile of max |Tᵢ|, T being multivariate t with the correlations of
 * runs that share the fit and, on one day, the day (Hahn & Meeker, Statistical Intervals, 1991, chapter on simultaneous
 * prediction, from memory). By simulation with a fixed seed, within about 1 % of the factor.
 *
 * @param options.runsByDay so many runs on each of the days
 */
export function simultaneousFactor(options: {
  runsByDay: readonly number[]
  errors: SetErrors
  level: number
  seed?: number
}): number {
  const { runsByDay, errors, level, seed = 1 } = options
  const random = seeded(seed)
  const [common, day, run] = [errors.common, errors.day, errors.run].map(Math.sqrt) as [
    number,
    number,
    number,
  ]
  const total = Math.sqrt(errors.common + errors.day + errors.run)
  const deviation = Array.from({ length: deviations }, (_, i) =>
    Number.isFinite(errors.df)
      ? Math.sqrt(chiSquareQuantile((i + 0.5) / deviations, errors.df) / errors.df)
      : 1,
  )
  const largest = new Float64Array(draws)
  for (let i = 0; i < draws; i++) {
    const shared = common * random.normal()
    let far = 0
    for (const runs of runsByDay) {
      const ofDay = shared + day * random.normal()
      for (let k = 0; k < runs; k++) far = Math.max(far, Math.abs(ofDay + run * random.normal()))
    }
    largest[i] = far / (total * (deviation[i % deviations] as number))
  }
  largest.sort()
  return largest[Math.min(draws - 1, Math.ceil(level * draws) - 1)] as number
}
