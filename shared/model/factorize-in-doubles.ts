import { fromNumber, type Paired } from './double-double.ts'
import type { Factorization } from './factorize.ts'

/** A factorization in doubles, with Q′y and the squares of what the columns leave of it. */
export type TurnedInDoubles = {
  factorization: Factorization
  effects: Paired
  residualSumOfSquares: number
}

/** Up to this condition number, columns taken at length 1, doubles keep 10 digits of estimates and errors. */
const largestCondition = 1e5
/** A model that leaves less than this share of the response's length takes digits from what it leaves. */
const leastShare = 1e-4
/** Sums of squares outside these limits would be too near the ends of a double's range. */
const [leastSquares, mostSquares] = [1e-200, 1e200]
/** Rows worked on together: few enough to stay in the processor's cache, and for short sums, which round less. */
const block = 1024

/**
 * The Householder QR of factorize.ts in plain doubles, for large problems that are well conditioned. Each column is
 * turned by one reflection and multiplied with the next in one pass, so that it is read half as often.
 *
 * @returns null where double-double arithmetic must decide: columns that nearly depend on each other, a model that
 * nearly reproduces the response, numbers that are very large or small
 */
export function turnInDoubles(columns: Paired[], response: Paired): TurnedInDoubles | null {
  const rows = response.hi.length
  const p = columns.length
  const turned = [...columns, response].map(({ hi }) => hi.slice())
  const y = turned[p]!
  const memoryOfR = new Float64Array(p * p)
  const r: Float64Array[] = []
  const scales = new Float64Array(p)
  const products = new Float64Array(p + 1)
  const whole = squares(y, 0, rows)
  for (let k = 0; k <= p; k++) {
    const [v, before] = [turned[k]!, turned[Math.max(0, k - 1)]!]
    if (k > 0) {
      for (let j = k; j <= p; j++) products[j]! *= scales[k - 1]!
      turn(v, before, products[k]!, before, k - 1, rows)
    }
    if (k === p) break
    const left = squares(v, k, rows)
    const length = squares(v, 0, k) + left
    if (!(length > leastSquares && length < mostSquares && left * largestCondition ** 2 > length)) return null
    r.push(memoryOfR.subarray(k * p, (k + 1) * p))
    r[k]!.set(v.subarray(0, k))
    const diagonal = v[k]! > 0 ? -Math.sqrt(left) : Math.sqrt(left)
    scales[k] = 1 / (left - v[k]! * diagonal)
    r[k]![k] = diagonal
    v[k]! -= diagonal
    v.fill(0, 0, k)
    turnAll(turned, k, before, products, rows)
  }
  const residualSumOfSquares = squares(y, p, rows)
  if (!(residualSumOfSquares > leastShare ** 2 * whole && conditionOf(r) < largestCondition)) return null
  const none = new Float64Array(Math.max(rows, p))
  return {
    factorization: {
      rows,
      kept: columns.map((_, k) => k),
      dropped: [],
      reflections: turned
        .slice(0, p)
        .map((hi, k) => ({ v: { hi, lo: none }, from: k, scale: fromNumber(scales[k]!) })),
      r: r.map((hi) => ({ hi, lo: none })),
      scales: columns.map(() => 1),
    },
    effects: { hi: y, lo: none },
    residualSumOfSquares,
  }
}

function squares(x: Float64Array, from: number, to: number): number {
  let sum = 0
  for (let start = from; start < to; start += block) {
    const end = Math.min(to, start + block)
    let [even, odd] = [0, 0]
    let i = start
    for (; i + 1 < end; i += 2) {
      even += x[i]! * x[i]!
      odd += x[i + 1]! * x[i + 1]!
    }
    if (i < end) even += x[i]! * x[i]!
    sum += even + odd
  }
  return sum
}

/** The columns after k, and the response: less their products with `before`, then their products with column k. */
function turnAll(
  turned: Float64Array[],
  k: number,
  before: Float64Array,
  products: Float64Array,
  rows: number,
): void {
  const v = turned[k]!
  const factors = products.slice()
  products.fill(0)
  for (let from = Math.max(0, k - 1); from < rows; from += block) {
    const to = Math.min(rows, from + block)
    let j = k + 1
    for (; j + 3 < turned.length; j += 4) turnFour(turned, j, before, factors, v, products, from, to)
    for (; j < turned.length; j++) products[j]! += turn(turned[j]!, before, factors[j]!, v, from, to)
  }
}

/** x −= factor·v, and its product with w. */
function turn(
  x: Float64Array,
  v: Float64Array,
  factor: number,
  w: Float64Array,
  from: number,
  to: number,
): number {
  let [even, odd] = [0, 0]
  let i = from
  for (; i + 1 < to; i += 2) {
    const a = x[i]! - factor * v[i]!
    const b = x[i + 1]! - factor * v[i + 1]!
    x[i] = a
    x[i + 1] = b
    even += a * w[i]!
    odd += b * w[i + 1]!
  }
  if (i < to) {
    const a = x[i]! - factor * v[i]!
    x[i] = a
    even += a * w[i]!
  }
  return even + odd
}

/** The same for four columns from j on, which share the reading of v and w. */
function turnFour(
  turned: Float64Array[],
  j: number,
  v: Float64Array,
  factors: Float64Array,
  w: Float64Array,
  products: Float64Array,
  from: number,
  to: number,
): void {
  const [a, b, c, d] = [turned[j]!, turned[j + 1]!, turned[j + 2]!, turned[j + 3]!]
  const [fa, fb, fc, fd] = [factors[j]!, factors[j + 1]!, factors[j + 2]!, factors[j + 3]!]
  let [sa, sb, sc, sd] = [0, 0, 0, 0]
  for (let i = from; i < to; i++) {
    const vi = v[i]!
    const wi = w[i]!
    const ai = a[i]! - fa * vi
    const bi = b[i]! - fb * vi
    const ci = c[i]! - fc * vi
    const di = d[i]! - fd * vi
    a[i] = ai
    b[i] = bi
    c[i] = ci
    d[i] = di
    sa += ai * wi
    sb += bi * wi
    sc += ci * wi
    sd += di * wi
  }
  products[j]! += sa
  products[j + 1]! += sb
  products[j + 2]! += sc
  products[j + 3]! += sd
}

/** Condition number in the Frobenius norm of the columns whose R this is, each taken at length 1. */
function conditionOf(r: Float64Array[]): number {
  let sum = 0
  for (let k = 0; k < r.length; k++) {
    // Row k of R⁻¹ is z with z′R = the unit row k; times the length of column k.
    const z = new Float64Array(r.length)
    let ownSquares = 0
    for (let j = k; j < r.length; j++) {
      const column = r[j]!
      let value = j === k ? 1 : 0
      for (let i = k; i < j; i++) value -= z[i]! * column[i]!
      z[j] = value / column[j]!
      ownSquares += z[j]! ** 2
    }
    sum += ownSquares * squares(r[k]!, 0, k + 1)
  }
  return Math.sqrt(r.length * sum)
}
