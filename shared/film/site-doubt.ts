import { cholesky, inverseOf, solveSymmetric } from '../model/symmetric.ts'
import { shapeColumns } from './shape.ts'

/** A thickness above zero at its place, mm from the centre, or without one. */
export type PlacedThickness = { x: number | null; y: number | null; value: number }

/** A reading beside what the other sites make of it: `expected` in the unit of the values. */
export type SiteDoubt = { expected: number; deviations: number; doubtful: boolean }

/**
 * Standard deviations that bowl, ring and both wedges usually have, as shares of the film; common practice, no source.
 * They only steady the fit where few sites are read: a map that shows a greater bowl gets it.
 */
const usualShape = [0.015, 0.008, 0.008, 0.008]
/** A site's own scatter is taken to be no less than this share of the film, and weighs as four readings do. */
const leastScatter = 0.002
const scatterWeight = 4
/** A reading without a place may lie anywhere on the shape. */
const scatterWithoutPlace = 0.012
/** Ask from here on: standard deviations, and share of the film. The tests count how often a good map is asked about. */
const limit = 4
const leastDeviation = 0.01

/**
 * How far each reading lies from a robust fit of the shape to the other sites, on the log scale.
 *
 * A core of half of the readings is found by concentration steps (Rousseeuw & Van Driessen, Technometrics 41, 1999)
 * from the median, and then grown by the nearest reading for as long as that fits, so that several bad readings do not
 * hide each other. The shape terms have a normal prior, which lets the fit speak from the second reading on.
 *
 * @param options.scatter standard deviation of one site's own scatter as a share of the film, where that is known
 * @returns null for a reading of which the others say nothing
 */
export function siteDoubts(
  readings: readonly PlacedThickness[],
  options: { radiusMm: number; scatter?: number },
): (SiteDoubt | null)[] {
  if (readings.length < 2) return readings.map(() => null)
  const scatter = Math.max(leastScatter, options.scatter ?? 0)
  const sites = readings.map((reading) => siteOf(reading, options.radiusMm, scatter))
  const kept = grown(sites, core(sites, scatter), scatter)
  const within = new Set(kept)
  const fit = fitted(kept, scatter)
  return sites.map((site) => {
    const { deviation, deviations } = within.has(site) ? fit.deleted(site) : fit.ahead(site)
    const doubtful = Math.abs(deviations) > limit && Math.abs(deviation) > leastDeviation
    return { expected: Math.exp(site.log - deviation), deviations, doubtful }
  })
}

type Site = { log: number; terms: number[]; noise: number }

function siteOf({ x, y, value }: PlacedThickness, radiusMm: number, scatter: number): Site {
  const placed = x !== null && y !== null
  return {
    log: Math.log(value),
    terms: placed ? shapeColumns(x / radiusMm, y / radiusMm) : [1, 0, 0, 0, 0],
    noise: placed ? 1 : Math.hypot(scatter, scatterWithoutPlace) / scatter,
  }
}

/** The half of the sites that agrees best. */
function core(sites: readonly Site[], scatter: number): Site[] {
  const size = Math.floor(sites.length / 2) + 1
  const nearest = (away: (site: Site) => number) =>
    sites
      .map((site) => ({ site, away: away(site) }))
      .sort((a, b) => a.away - b.away)
      .slice(0, size)
      .map(({ site }) => site)
  const logs = sites.map(({ log }) => log).sort((a, b) => a - b)
  const middle = logs[logs.length >> 1] as number
  let half = nearest(({ log }) => Math.abs(log - middle))
  for (let step = 0; step < 10; step++) {
    const fit = fitted(half, scatter)
    const next = nearest((site) => Math.abs(fit.residual(site)) / site.noise)
    if (next.every((site) => half.includes(site))) break
    half = next
  }
  return half
}

/** The core and, nearest first, what fits to it. */
function grown(sites: readonly Site[], half: Site[], scatter: number): Site[] {
  const kept = [...half]
  let left = sites.filter((site) => !half.includes(site))
  while (left.length > 0) {
    const fit = fitted(kept, scatter)
    const away = (site: Site) => {
      const { deviation, deviations } = fit.ahead(site)
      return Math.abs(deviation) <= leastDeviation
        ? Math.min(limit, Math.abs(deviations))
        : Math.abs(deviations)
    }
    const ranked = left.map((site) => ({ site, away: away(site) })).sort((a, b) => a.away - b.away)
    const fitting = ranked.filter((one) => one.away <= limit)
    if (fitting.length === 0) break
    // A tenth at a time: maps of thousands of sites stay quick.
    const taken = new Set(fitting.slice(0, Math.max(1, kept.length / 10)).map(({ site }) => site))
    kept.push(...taken)
    left = left.filter((site) => !taken.has(site))
  }
  return kept
}

type Away = { deviation: number; deviations: number }

/** Least squares with the prior: residuals, and what deleting one site would make of its own. */
function fitted(sites: readonly Site[], scatter: number) {
  const p = 1 + usualShape.length
  const information = new Float64Array(p * p)
  const right = new Float64Array(p)
  // Logs are taken from their middle; the level itself has as good as no prior.
  const origin = sites.reduce((sum, { log }) => sum + log, 0) / sites.length
  const prior = [1e-8, ...usualShape.map((sd) => (scatter / sd) ** 2)]
  prior.forEach((precision, j) => {
    information[j + j * p] = precision
  })
  for (const { log, terms, noise } of sites)
    for (let j = 0; j < p; j++) {
      const weighted = (terms[j] as number) / noise ** 2
      right[j] = (right[j] as number) + weighted * (log - origin)
      for (let i = 0; i < p; i++)
        information[i + j * p] = (information[i + j * p] as number) + (terms[i] as number) * weighted
    }
  const factor = cholesky(information, p)
  if (!factor) throw new Error('The prior of the shape makes the fit definite.')
  const inverse = inverseOf(factor, p)
  const shape = solveSymmetric(factor, p, right)
  const residual = ({ log, terms }: Site) =>
    log - origin - terms.reduce((sum, term, j) => sum + term * (shape[j] as number), 0)
  const leverage = ({ terms, noise }: Site) => {
    let sum = 0
    for (let j = 0; j < p; j++)
      for (let i = 0; i < p; i++)
        sum += (terms[i] as number) * (inverse[i + j * p] as number) * (terms[j] as number)
    return sum / noise ** 2
  }
  // With its prior, the least sum of squares over σ² has one degree of freedom less than there are sites.
  const squares =
    sites.reduce((sum, site) => sum + (residual(site) / site.noise) ** 2, 0) +
    prior.reduce((sum, precision, j) => sum + precision * (shape[j] as number) ** 2, 0)
  const spread = (sum: number, df: number) =>
    Math.max(scatter, Math.sqrt((scatterWeight * scatter ** 2 + Math.max(0, sum)) / (scatterWeight + df)))
  return {
    residual,
    /** A site that the fit has not seen. */
    ahead(site: Site): Away {
      const deviation = residual(site)
      const sd = spread(squares, sites.length - 1) * site.noise * Math.sqrt(1 + leverage(site))
      return { deviation, deviations: deviation / sd }
    },
    /** A site of the fit against the fit without it. */
    deleted(site: Site): Away {
      const own = 1 - leverage(site)
      if (own < 1e-6 || sites.length < 2) return { deviation: 0, deviations: 0 }
      const least = residual(site)
      const without = squares - (least / site.noise) ** 2 / own
      const sd = (spread(without, sites.length - 2) * site.noise) / Math.sqrt(own)
      return { deviation: least / own, deviations: least / own / sd }
    },
  }
}
