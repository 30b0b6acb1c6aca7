import { largest, smallest } from '../extremes.ts'
import type { Random } from '../random.ts'
import { climbHill } from './quasi-newton.ts'
import { type SurfaceData, type SurfaceParameters, surfaceAt, surfaceSlopes } from './surface-likelihood.ts'

/** Search limits: lengths as multiples of the tested range, variances as multiples of the trend's residual variance. */
const limits = { length: [1e-2, 1e3], surface: [1e-6, 1e6], noise: [1e-10, 1e2] } as const
/**
 * Starts looked at, and how many of the best are climbed from: these lie apart by a factor of e² in a parameter at
 * least, as the best ones often lie about the same top while a higher one is elsewhere.
 */
const looked = 100
const climbed = 8
const apart = 2
/** Slopes at which a climb ends: roughly at first, for the best start to the end. */
const rough = 1e-4
const steep = 1e-8

/** The best parameters found, and the inputs whose length ran to the upper limit: the surface is straight there. */
export type SurfaceFit = { parameters: SurfaceParameters; straight: boolean[] }

/**
 * Maximizes the likelihood over lengths and variances, from several random starts.
 *
 * @param noise the variance of the noise where it is known, in units of the trend's residual variance
 * @returns null where no start has a likelihood
 */
export function searchSurface(data: SurfaceData, random: Random, noise: number | null): SurfaceFit | null {
  const ranges = data.inputs.map((values) => largest(values) - smallest(values))
  const d = ranges.length
  const parametersOf = (at: Float64Array): SurfaceParameters => ({
    lengths: ranges.map((range, i) => range * Math.exp(at[i]!)),
    surface: Math.exp(at[d]!),
    noise: noise ?? Math.exp(at[d + 1]!),
  })
  const free = d + (noise === null ? 2 : 1)
  const bounds = [...ranges.map(() => limits.length), limits.surface, limits.noise].slice(0, free)
  const low = Float64Array.from(bounds, ([least]) => Math.log(least))
  const high = Float64Array.from(bounds, ([, most]) => Math.log(most))
  const between = (least: number, most: number) => Math.log(least) + random.uniform() * Math.log(most / least)
  const starts = Array.from({ length: looked }, (_, k) =>
    Float64Array.from({ length: free }, (_, i) => {
      if (k === 0) return i < d ? 0 : i === d ? 0 : Math.log(0.1)
      return i < d ? between(0.1, 5) : i === d ? between(0.1, 10) : between(1e-4, 1)
    }),
  )
  const promising = starts
    .flatMap((at) => {
      const point = surfaceAt(data, parametersOf(at))
      return point ? [{ at, value: point.value }] : []
    })
    .sort((a, b) => b.value - a.value)
  const hill = (at: Float64Array) => {
    const found = surfaceSlopes(data, parametersOf(at))
    return found && { value: found.point.value, slopes: found.slopes.subarray(0, free) }
  }
  const tops = scattered(promising.map(({ at }) => at)).flatMap(
    (at) => climbHill(hill, at, { low, high, steep: rough }) ?? [],
  )
  const top = tops.sort((a, b) => b.value - a.value)[0]
  const best = top && climbHill(hill, top.at, { low, high, steep })
  if (!best) return null
  return {
    parameters: parametersOf(best.at),
    straight: ranges.map((_, i) => best.at[i]! >= high[i]! - 1e-6),
  }
}

/** The first of these places and those after it that lie apart from all taken before. */
function scattered(places: Float64Array[]): Float64Array[] {
  const taken: Float64Array[] = []
  for (const at of places)
    if (taken.every((other) => other.some((log, i) => Math.abs(log - at[i]!) > apart))) taken.push(at)
  return taken.slice(0, climbed)
}
