import type { NonUniformityFormula, Settings } from '../contract/things.ts'
import { shapeColumns } from '../film/shape.ts'
import type { Site } from '../film/site-map.ts'
import { nonUniformityOf } from '../film/uniformity.ts'
import { tQuantile } from '../model/distributions.ts'
import { seeded } from '../random.ts'
import type { Outlook, Predictor } from './predictor.ts'
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

/**
 * Says how even a film is to be expected at a setting: films are drawn from the predictive distributions of the signed
 * shape terms (t, each with its own degrees of freedom; the terms taken as independent) and the scatter of the sites,
 * and the chosen formula is computed for the sites of each. The same draws serve every setting, so that settings can be
 * compared; their number bounds a chance to about ±0.02.
 */
export function evennessOf(question: EvennessQuestion): (settings: Settings) => Evenness | null {
  const { predictors, rest, sites, radiusMm, formula, limit, draws = usualDraws, seed = 1 } = question
  const random = seeded(seed)
  const places = sites.map(({ xMm, yMm }) => shapeColumns(xMm / radiusMm, yMm / radiusMm))
  const noise = Float64Array.from({ length: draws * sites.length }, () => rest * random.normal())
  // Stratified, so that few draws already have the spread of many.
  const shares = shapeTerms.map(() =>
    random.shuffled(Array.from({ length: draws }, (_, i) => (i + random.uniform()) / draws)),
  )
  const known = shapeTerms.map((term) => predictors[term] ?? null)
  return (settings) => {
    const outlooks = known.map((predictor) => predictor?.at(settings) ?? null)
    if (outlooks.some((outlook, k) => known[k] !== null && outlook === null)) return null
    const shapes = outlooks.map((outlook, k) => drawn(outlook, known[k] ?? null, shares[k] as number[]))
    const values = new Float64Array(draws)
    const film = new Array<number>(sites.length)
    for (let i = 0; i < draws; i++) {
      for (let s = 0; s < film.length; s++) {
        const place = places[s] as number[]
        let value = 1 + (noise[i * film.length + s] as number)
        for (let k = 0; k < shapes.length; k++) value += (shapes[k]?.[i] ?? 0) * (place[k + 1] as number)
        film[s] = value
      }
      values[i] = evennessIn(film, formula)
    }
    values.sort()
    const at = (share: number) => values[Math.min(draws - 1, Math.floor(share * draws))] as number
    const inside = limit === null ? null : values.filter((value) => value <= limit).length / draws
    return { median: at(0.5), lower: at(0.05), upper: at(0.95), chance: inside }
  }
}

/** One film's shape term, by draw; null where it is not known. */
function drawn(
  outlook: Outlook | null,
  predictor: Predictor | null,
  shares: readonly number[],
): Float64Array | null {
  if (outlook === null || predictor === null) return null
  const deviation = Math.sqrt(predictor.noise + outlook.variance)
  const table = tableOfT(outlook.df)
  return Float64Array.from(shares, (share) => outlook.mean + deviation * table(share))
}

const tables = new Map<number, Float64Array>()

/** Quantiles of t by share, straight between those looked up; beyond the first and last, that one. */
function tableOfT(df: number): (share: number) => number {
  // A tenth of a degree of freedom makes no difference that the draws would show.
  const key = Math.round(df * 10) / 10
  const table =
    tables.get(key) ??
    Float64Array.from({ length: quantiles }, (_, i) => tQuantile((i + 0.5) / quantiles, Math.max(key, 1)))
  tables.set(key, table)
  return (share) => {
    const place = Math.min(quantiles - 1, Math.max(0, share * quantiles - 0.5))
    const below = Math.floor(place)
    const [from, to] = [table[below] as number, table[Math.min(quantiles - 1, below + 1)] as number]
    return from + (place - below) * (to - from)
  }
}

/** The formula for one film whose mean is about 1; percent. */
function evennessIn(film: readonly number[], formula: NonUniformityFormula): number {
  let sum = 0
  for (const value of film) sum += value
  const mean = sum / film.length
  let squares = 0
  for (const value of film) squares += (value - mean) ** 2
  const spread = nonUniformityOf(film, mean, Math.sqrt(squares / (film.length - 1)))
  return spread[formula] ?? 0
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
