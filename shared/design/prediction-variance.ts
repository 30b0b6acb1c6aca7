import type { Factor } from '../contract/things.ts'
import { seeded } from '../random.ts'
import { combinations } from './design-point.ts'
import { type DesignTerm, type Place, termAt } from './design-terms.ts'

/** A model's terms with the root of its inverse information: Var(ŷ)/σ² at x is ‖R⁻ᵀ f(x)‖². */
export type VarianceOf = { factors: readonly Factor[]; terms: readonly DesignTerm[]; root: Float64Array }

/** Prediction variance of the mean at a point, in σ². */
export function varianceAt({ terms, root }: VarianceOf, place: Place): number {
  const p = terms.length
  const values = new Float64Array(p)
  for (let j = 0; j < p; j++) values[j] = termAt(terms[j]!, place)
  let sum = 0
  for (let j = 0; j < p; j++) {
    let along = 0
    for (let i = 0; i <= j; i++) along += root[i + j * p]! * values[i]!
    sum += along * along
  }
  return sum
}

/**
 * The exact mean of the prediction variance over the cube −1…+1, levels of categorical factors equally
 * weighted: trace of (X′X)⁻¹ with the matrix of moments, in σ².
 */
export function averageVariance({ factors, terms, root }: VarianceOf): number {
  const p = terms.length
  const moments = momentMatrix(factors, terms)
  let trace = 0
  for (let k = 0; k < p; k++)
    for (let i = 0; i <= k; i++)
      for (let j = 0; j <= k; j++) trace += root[i + k * p]! * root[j + k * p]! * moments[i + j * p]!
  return trace
}

/** Means over the cube of the products of every two terms, p × p. */
export function momentMatrix(factors: readonly Factor[], terms: readonly DesignTerm[]): Float64Array {
  const p = terms.length
  const moments = new Float64Array(p * p)
  for (let i = 0; i < p; i++)
    for (let j = 0; j <= i; j++) {
      const moment = momentOf(factors, [...terms[i]!.parts, ...terms[j]!.parts])
      moments[i + j * p] = moment
      moments[j + i * p] = moment
    }
  return moments
}

function momentOf(factors: readonly Factor[], parts: DesignTerm['parts']): number {
  // Predicted is the mean block, where contrasts of blocks, the coordinate after the factors, are 0.
  if (parts.some((part) => part.factor >= factors.length)) return 0
  let product = 1
  factors.forEach((factor, f) => {
    const own = parts.filter((part) => part.factor === f)
    if (own.length === 0) return
    if (factor.kind === 'continuous') {
      const exponent = own.reduce((sum, part) => sum + ('power' in part ? part.power : 0), 0)
      product *= exponent % 2 === 1 ? 0 : 1 / (exponent + 1)
    } else {
      const place = new Float64Array(factors.length)
      let sum = 0
      for (let level = 0; level < factor.levelNames.length; level++) {
        place[f] = level
        sum += termAt({ name: '', parts: own }, place)
      }
      product *= sum / factor.levelNames.length
    }
  })
  return product
}

/** Most multiplications of one round of climbing, all starts together. */
const climbingWork = 2e8

/**
 * The largest prediction variance over the cube, in σ²: climbed one coordinate at a time from the corners,
 * the centre and places drawn at random, each coordinate searched on a grid and refined at the end. Models of
 * some hundred terms are climbed from fewer starts, so that their plans stay within a few seconds.
 */
export function maximumVariance(variance: VarianceOf): number {
  const { factors, terms } = variance
  const degrees = factors.map((_, f) => Math.max(1, ...terms.map((term) => degreeIn(term, f))))
  const choices = factors.map((factor, f) => {
    if (factor.kind === 'categorical') return factor.levelNames.map((_, level) => level)
    // Of the first degree the variance is convex along the coordinate: its maximum is at an end.
    return degrees[f] === 1 ? [-1, 1] : Array.from({ length: 21 }, (_, i) => i / 10 - 1)
  })
  const smooth = factors.map((factor, f) => factor.kind === 'continuous' && degrees[f]! > 1)
  let best: { place: Place; value: number } = { place: new Float64Array(factors.length), value: -1 }
  const work = choices.reduce((sum, list) => sum + list.length, 0) * terms.length ** 2
  const starts = startsOf(factors, choices).slice(0, Math.max(6, Math.floor(climbingWork / work)))
  for (const start of starts) {
    const climbed = climb(variance, start, choices)
    if (climbed.value > best.value) best = climbed
  }
  return refine(variance, best, smooth).value
}

function degreeIn(term: DesignTerm, factor: number): number {
  return term.parts.reduce(
    (sum, part) => sum + (part.factor === factor && 'power' in part ? part.power : 0),
    0,
  )
}

function startsOf(factors: readonly Factor[], choices: readonly number[][]): Place[] {
  const ends = factors.map((factor, f) => (factor.kind === 'categorical' ? choices[f]! : [-1, 1]))
  const corners = ends.reduce((product, list) => product * list.length, 1)
  const random = seeded(1)
  const drawn = (lists: readonly number[][]) =>
    Float64Array.from(lists, (list) => list[random.below(list.length)] as number)
  return [
    new Float64Array(factors.length),
    ...(corners <= 64
      ? combinations(ends).map((corner) => Float64Array.from(corner))
      : Array.from({ length: 64 }, () => drawn(ends))),
    ...Array.from({ length: 16 }, () => drawn(choices)),
  ]
}

function climb(
  variance: VarianceOf,
  start: Place,
  choices: readonly number[][],
): { place: Place; value: number } {
  const place = Float64Array.from(start)
  let value = varianceAt(variance, place)
  for (let improved = true; improved; ) {
    improved = false
    choices.forEach((list, f) => {
      let kept = place[f] as number
      for (const candidate of list) {
        place[f] = candidate
        const there = varianceAt(variance, place)
        if (there > value * (1 + 1e-12)) {
          value = there
          kept = candidate
          improved = true
        }
      }
      place[f] = kept
    })
  }
  return { place, value }
}

/** Narrows each smooth coordinate around the best place until it stands still to about 1e-7. */
function refine(
  variance: VarianceOf,
  best: { place: Place; value: number },
  smooth: readonly boolean[],
): { place: Place; value: number } {
  const place = Float64Array.from(best.place)
  let value = best.value
  for (let step = 0.05; step > 1e-7; ) {
    let moved = false
    for (let f = 0; f < place.length; f++) {
      if (!smooth[f]) continue
      for (const sign of [-1, 1]) {
        const held = place[f] as number
        place[f] = Math.min(1, Math.max(-1, held + sign * step))
        const there = varianceAt(variance, place)
        if (there > value) {
          value = there
          moved = true
        } else place[f] = held
      }
    }
    if (!moved) step /= 2
  }
  return { place, value }
}
