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
    this.setMatrix(matrix, rows.length)
  }

  /** The same from the information itself, of which the lower triangle is given. */
  setMatrix(matrix: Float64Array, runs: number): void {
    this.logDeterminant = invert(this.#eased(matrix, runs), this.inverse, this.p)
    this.#weigh()
  }

  /** The logarithm of an information's determinant (D) or of one over its trace (I), without taking it on. */
  scoreOf(matrix: Float64Array, runs: number): number {
    const { p } = this
    const eased = this.#eased(matrix, runs)
    if (this.#moments === null) return factorize(eased, p)
    const inverse = new Float64Array(p * p)
    invert(eased, inverse, p)
    let trace = 0
    for (let e = 0; e < inverse.length; e++) trace += inverse[e]! * this.#moments[e]!
    return -Math.log(trace)
  }

  /** Exchanges one row for another. */
  exchange(from: Float64Array, to: Float64Array): void {
    this.bend(
      to.map((value, j) => value - from[j]!),
      from,
      1,
    )
  }

  /** Changes the information by d z′ + z d′ + own·d d′. */
  bend(d: Float64Array, z: Float64Array, own: number): void {
    const { p, inverse, weighted } = this
    const u = this.times(inverse, d)
    const w = this.times(inverse, z)
    const { ratio, a, b, c } = middleOf({ dd: dot(d, u), dz: dot(d, w), zz: dot(z, w), own })
    // D − D U S⁻¹ U′D with U = [d, z] and S⁻¹ = [[a, b], [b, c]].
    if (weighted !== null) {
      const g = this.times(weighted, d)
      const h = this.times(weighted, z)
      const dd = dot(d, g)
      const dz = dot(d, h)
      const zz = dot(z, h)
      this.trace -= a * dd + 2 * b * dz + c * zz
      // The same update on both sides of the moments: G − Q S⁻¹ H′ − H S⁻¹ Q′ + Q S⁻¹ (U′GU) S⁻¹ Q′ with Q = DU, H = GU.
      const aa = a * a * dd + 2 * a * b * dz + b * b * zz
      const ab = a * b * dd + (a * c + b * b) * dz + b * c * zz
      const bb = b * b * dd + 2 * b * c * dz + c * c * zz
      for (let j = 0; j < p; j++) {
        const onU = aa * u[j]! + ab * w[j]! - a * g[j]! - b * h[j]!
        const onW = ab * u[j]! + bb * w[j]! - b * g[j]! - c * h[j]!
        const onG = a * u[j]! + b * w[j]!
        const onH = b * u[j]! + c * w[j]!
        for (let i = 0; i < p; i++)
          weighted[i + j * p]! += u[i]! * onU + w[i]! * onW - g[i]! * onG - h[i]! * onH
      }
    }
    for (let j = 0; j < p; j++) {
      const onU = a * u[j]! + b * w[j]!
      const onW = b * u[j]! + c * w[j]!
      for (let i = 0; i < p; i++) inverse[i + j * p]! -= u[i]! * onU + w[i]! * onW
    }
    this.logDeterminant += Math.log(ratio)
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

  #eased(matrix: Float64Array, runs: number): Float64Array {
    const eased = Float64Array.from(matrix)
    for (let i = 0; i < this.p; i++) eased[i + i * this.p]! += 1e-9 * Math.max(1, runs)
    return eased
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

/**
 * What a change d z′ + z d′ + own·d d′ of the information does, from the products of d and z by the inverse: the
 * ratio of the determinants after and before, and the middle [[a, b], [b, c]] of Woodbury's identity.
 */
export function middleOf({ dd, dz, zz, own }: { dd: number; dz: number; zz: number; own: number }) {
  const ratio = (1 + dz) ** 2 + dd * (own - zz)
  return { ratio, a: (own - zz) / ratio, b: (1 + dz) / ratio, c: -dd / ratio }
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
function invert(matrix: Float64Array, inverse: Float64Array, p: number): number {
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
