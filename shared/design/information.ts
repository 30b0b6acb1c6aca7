import type { Factor } from '../contract/things.ts'
import type { DesignTerm, Place } from './design-terms.ts'
import { termAt } from './design-terms.ts'
import { momentMatrix } from './prediction-variance.ts'

/**
 * The information of a growing and changing set of runs, and what the exchange of one run would do to it.
 * D: the determinant of X′X is to rise. I: the trace of (X′X)⁻¹ with the region's moments is to fall.
 * Updates by Woodbury's identity, as in Meyer & Nachtsheim, Technometrics 37 (1995) 60–69.
 *
 * A trace of the identity is added to X′X, so that a start that cannot tell all terms apart has a way out.
 */
export class Information {
  readonly terms: readonly DesignTerm[]
  readonly p: number
  /** (X′X)⁻¹, p × p. */
  inverse: Float64Array
  logDeterminant = 0
  /** Trace of (X′X)⁻¹ with the moments; 0 where the criterion is D. */
  trace = 0
  /** (X′X)⁻¹ W (X′X)⁻¹ with the moments W; null where the criterion is D. */
  weighted: Float64Array | null
  readonly #moments: Float64Array | null

  constructor(factors: readonly Factor[], terms: readonly DesignTerm[], criterion: 'D' | 'I') {
    this.terms = terms
    this.p = terms.length
    this.inverse = new Float64Array(this.p * this.p)
    this.#moments = criterion === 'I' ? momentMatrix(factors, terms) : null
    this.weighted = this.#moments === null ? null : new Float64Array(this.p * this.p)
  }

  rowAt(place: Place): Float64Array {
    const row = new Float64Array(this.p)
    for (let j = 0; j < this.p; j++) row[j] = termAt(this.terms[j]!, place)
    return row
  }

  /** Computes everything afresh from the rows. */
  set(rows: readonly Float64Array[]): void {
    const { p } = this
    const matrix = new Float64Array(p * p)
    for (const row of rows)
      for (let i = 0; i < p; i++) for (let j = 0; j <= i; j++) matrix[i + j * p]! += row[i]! * row[j]!
    for (let i = 0; i < p; i++) matrix[i + i * p]! += 1e-9 * Math.max(1, rows.length)
    this.logDeterminant = invert(matrix, this.inverse, p)
    this.#weigh()
  }

  /** Exchanges one row for another; `gain` is the ratio of the determinants after and before. */
  exchange(from: Float64Array, to: Float64Array, gain: number): void {
    const { p, inverse, weighted } = this
    const u = this.times(inverse, from)
    const w = this.times(inverse, to)
    // D − D U (C⁻¹ + U′DU)⁻¹ U′D with U = [from, to], C = diag(−1, 1); the determinant of the middle is −gain.
    const a = (1 + dot(to, w)) / gain
    const b = dot(from, w) / gain
    const c = (1 - dot(from, u)) / gain
    if (weighted !== null) {
      const g = this.times(weighted, from)
      const h = this.times(weighted, to)
      const ff = dot(from, g)
      const ft = dot(from, h)
      const tt = dot(to, h)
      this.trace += a * ff - 2 * b * ft - c * tt
      // The same update on both sides of the moments: G + QKH′ + HKQ′ + QK(U′GU)KQ′ with Q = DU, H = GU and
      // K = [[a, −b], [−b, −c]].
      const aa = a * a * ff - 2 * a * b * ft + b * b * tt
      const ab = -a * b * ff + (b * b - a * c) * ft + b * c * tt
      const cc = b * b * ff + 2 * b * c * ft + c * c * tt
      for (let j = 0; j < p; j++) {
        const left = a * g[j]! - b * h[j]!
        const right = -b * g[j]! - c * h[j]!
        const first = aa * u[j]! + ab * w[j]!
        const second = ab * u[j]! + cc * w[j]!
        const ga = a * u[j]! - b * w[j]!
        const ha = -b * u[j]! - c * w[j]!
        for (let i = 0; i < p; i++)
          weighted[i + j * p]! += u[i]! * (left + first) + w[i]! * (right + second) + g[i]! * ga + h[i]! * ha
      }
    }
    for (let j = 0; j < p; j++) {
      const left = a * u[j]! - b * w[j]!
      const right = -b * u[j]! - c * w[j]!
      for (let i = 0; i < p; i++) inverse[i + j * p]! += u[i]! * left + w[i]! * right
    }
    this.logDeterminant += Math.log(gain)
  }

  /** Matrix times vector. */
  times(matrix: Float64Array, vector: Float64Array): Float64Array {
    const { p } = this
    const result = new Float64Array(p)
    for (let j = 0; j < p; j++) {
      const value = vector[j]!
      if (value === 0) continue
      for (let i = 0; i < p; i++) result[i]! += matrix[i + j * p]! * value
    }
    return result
  }

  #weigh(): void {
    if (this.#moments === null || this.weighted === null) return
    const { p, inverse } = this
    const half = multiply(this.#moments, inverse, p)
    this.trace = 0
    for (let i = 0; i < p; i++) this.trace += half[i + i * p]!
    this.weighted = multiply(inverse, half, p)
  }
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}

function multiply(a: Float64Array, b: Float64Array, p: number): Float64Array {
  const result = new Float64Array(p * p)
  for (let j = 0; j < p; j++)
    for (let k = 0; k < p; k++) {
      const value = b[k + j * p]!
      if (value === 0) continue
      for (let i = 0; i < p; i++) result[i + j * p]! += a[i + k * p]! * value
    }
  return result
}

/** Inverts a symmetric positive matrix (lower triangle given) by Cholesky; returns the log of its determinant. */
export function invert(matrix: Float64Array, inverse: Float64Array, p: number): number {
  const l = Float64Array.from(matrix)
  const logDeterminant = factorize(l, p)
  const root = new Float64Array(p * p)
  for (let c = 0; c < p; c++) {
    root[c + c * p] = 1 / l[c + c * p]!
    for (let i = c + 1; i < p; i++) {
      let sum = 0
      for (let k = c; k < i; k++) sum -= l[i + k * p]! * root[k + c * p]!
      root[i + c * p] = sum / l[i + i * p]!
    }
  }
  for (let i = 0; i < p; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0
      for (let k = i; k < p; k++) sum += root[k + i * p]! * root[k + j * p]!
      inverse[i + j * p] = sum
      inverse[j + i * p] = sum
    }
  return logDeterminant
}

/** Cholesky's factor in place of the lower triangle; returns the log of the determinant. */
export function factorize(l: Float64Array, p: number): number {
  let logDeterminant = 0
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < j; k++) {
      const value = l[j + k * p]!
      if (value === 0) continue
      for (let i = j; i < p; i++) l[i + j * p]! -= value * l[i + k * p]!
    }
    // A start that cannot tell all terms apart must not end in the root of a negative.
    const pivot = Math.sqrt(Math.max(l[j + j * p]!, 1e-12))
    logDeterminant += 2 * Math.log(pivot)
    for (let i = j; i < p; i++) l[i + j * p]! /= pivot
  }
  return logDeterminant
}
