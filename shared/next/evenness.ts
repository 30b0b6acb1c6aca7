import type { NonUniformityFormula, Settings } from '../contract/things.ts'
import { shapeColumns } from '../film/shape.ts'
import type { Site } from '../film/site-map.ts'
import { nonUniformityFormulas } from '../film/uniformity.ts'
import { tQuantile } from '../model/distributions.ts'
import { seeded } from '../random.ts'
import type { Predictor } from './predictor.ts'
import { type ShapeTerm, shapeTerms } from './shape-models.ts'

/** How even a film will be, at one setting. */
export type Evenness = {
  /** The chosen formula, percent: in half of all wafers less, and in nine of ten between these. */
  median: number
  lower: number
  upper: number
  /** To be within the limit; null where there is none. */
  chance: number | null
}

export type EvennessQuestion = {
  /** Of the shape terms that are known; a term without one is taken as 0 and its absence is for the caller to say. */
  predictors: Partial<Record<ShapeTerm, Predictor>>
  /** Scatter of the sites about the shape, as a share of the thickness. */
  rest: number
  sites: readonly Site[]
  radiusMm: number
  formula: NonUniformityFormula
  /** Percent. */
  limit: number | null
  draws?: number
  seed?: number
}

const usualDraws = 500
/** Quantiles of t are looked up between so many shares. */
const quantiles = 200

/** How even films are at a setting; null where that cannot be told. */
export type EvennessAt = {
  /** The chance to be within the limit alone: a search asks for it at thousands of settings. */
  chance(settings: Settings): number | null
  at(settings: Settings): Evenness | null
}

/**
 * Says how even a film is to be expected at a setting: films are drawn from the predictive distributions of the signed
 * shape terms (t, each with its own degrees of freedom; the terms taken as independent) and the scatter of the sites,
 * and the chosen formula is computed for the sites of each. The same draws serve every setting, so that settings can be
 * compared; their number bounds a chance to about ±0.02.
 */
export function evennessOf(question: EvennessQuestion): EvennessAt {
  const { predictors, rest, sites, radiusMm, formula, limit, draws = usualDraws, seed = 1 } = question
  const random = seeded(seed)
  const places = sites.map(({ xMm, yMm }) => shapeColumns(xMm / radiusMm, yMm / radiusMm).slice(1))
  const noise = Float64Array.from({ length: draws * sites.length }, () => rest * random.normal())
  // Stratified, so that few draws already have the spread of many.
  const shares = shapeTerms.map(() =>
    random.shuffled(Array.from({ length: draws }, (_, i) => (i + random.uniform()) / draws)),
  )
  const known = shapeTerms.flatMap((term, k) => {
    const predictor = predictors[term]
    if (!predictor) return []
    const place = Float64Array.from(places, (columns) => columns[k] as number)
    return [{ predictor, place, standardized: standardizedBy(shares[k] as number[]) }]
  })
  const percentOf = nonUniformityFormulas[formula]
  const n = sites.length
  /** The formula for each film drawn; written over at the next setting. */
  const values = new Float64Array(draws)
  const film = new Float64Array(n)
  const valuesAt = (settings: Settings): Float64Array | null => {
    const sizes: Float64Array[] = []
    for (const { predictor, standardized } of known) {
      const outlook = predictor.at(settings)
      if (outlook === null) return null
      sizes.push(
        sizesOf(outlook.mean, Math.sqrt(predictor.noise + outlook.variance), standardized(outlook.df)),
      )
    }
    for (let i = 0; i < draws; i++) {
      for (let s = 0; s < n; s++) film[s] = noise[i * n + s]!
      for (let k = 0; k < known.length; k++) addShape(film, known[k]!.place, sizes[k]![i]!)
      values[i] = percentOf(extentOf(film)) ?? 0
    }
    return values
  }
  const inside = (values: Float64Array, most: number) => {
    let count = 0
    for (const value of values) if (value <= most) count += 1
    return count / draws
  }
  return {
    chance(settings) {
      if (limit === null) return null
      const values = valuesAt(settings)
      return values && inside(values, limit)
    },
    at(settings) {
      const values = valuesAt(settings)?.sort()
      if (!values) return null
      const at = (share: number) => values[Math.min(draws - 1, Math.floor(share * draws))] as number
      const chance = limit === null ? null : inside(values, limit)
      return { median: at(0.5), lower: at(0.05), upper: at(0.95), chance }
    },
  }
}

/** The size of a shape term in each film drawn: mean + deviation·t. */
function sizesOf(mean: number, deviation: number, t: Float64Array): Float64Array {
  const sizes = new Float64Array(t.length)
  for (let i = 0; i < t.length; i++) sizes[i] = mean + deviation * t[i]!
  return sizes
}

function addShape(film: Float64Array, place: Float64Array, size: number): void {
  for (let s = 0; s < film.length; s++) film[s]! += size * place[s]!
}

/** The draws of t at these shares, looked up once by degrees of freedom. */
function standardizedBy(shares: readonly number[]): (df: number) => Float64Array {
  const known = new Map<number, Float64Array>()
  return (df) => {
    // A tenth of a degree of freedom makes no difference that the draws would show.
    const key = Math.round(df * 10) / 10
    const t = known.get(key) ?? Float64Array.from(shares, tableOfT(key))
    known.set(key, t)
    return t
  }
}

const tables = new Map<number, Float64Array>()

/** Quantiles of t by share, straight between those looked up; beyond the first and last, that one. */
function tableOfT(df: number): (share: number) => number {
  const table =
    tables.get(df) ??
    Float64Array.from({ length: quantiles }, (_, i) => tQuantile((i + 0.5) / quantiles, Math.max(df, 1)))
  tables.set(df, table)
  return (share) => {
    const place = Math.min(quantiles - 1, Math.max(0, share * quantiles - 0.5))
    const below = Math.floor(place)
    const [from, to] = [table[below] as number, table[Math.min(quantiles - 1, below + 1)] as number]
    return from + (place - below) * (to - from)
  }
}

/** Mean and spread of one film, given as what it differs by from 1. */
function extentOf(film: Float64Array) {
  const n = film.length
  let [sum, lowest, highest] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let s = 0; s < n; s++) {
    const value = film[s]!
    sum += value
    if (value < lowest) lowest = value
    if (value > highest) highest = value
  }
  const mean = 1 + sum / n
  let squares = 0
  for (let s = 0; s < n; s++) squares += (1 + film[s]! - mean) ** 2
  const standardDeviation = Math.sqrt(squares / (n - 1))
  return { mean, lowest: 1 + lowest, highest: 1 + highest, standardDeviation, n }
}

/** The predicted film at the sites, as shares of its mean over the disc. */
export function predictedShape(
  { predictors, sites, radiusMm }: Pick<EvennessQuestion, 'predictors' | 'sites' | 'radiusMm'>,
  settings: Settings,
): (Site & { share: number })[] {
  const shape = shapeTerms.map((term) => predictors[term]?.at(settings)?.mean ?? 0)
  return sites.map((site) => {
    const place = shapeColumns(site.xMm / radiusMm, site.yMm / radiusMm)
    return { ...site, share: 1 + shape.reduce((sum, value, k) => sum + value * (place[k + 1] as number), 0) }
  })
}
