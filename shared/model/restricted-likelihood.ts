import type { GroupMeans } from './group-means.ts'
import { addProduct, jetSize, secondAt, setInverse, setLog } from './jets.ts'
import {
  cholesky,
  form,
  inner,
  inverseOf,
  logDeterminantOf,
  product,
  times,
  traceOfProduct,
} from './symmetric.ts'

/** What the restricted likelihood knows at given variances. */
export type RestrictedPoint = {
  /** ln|V| + ln|Q′V⁻¹Q| + r′V⁻¹r: −2 times the restricted log-likelihood, but for constants. */
  deviance: number
  /** (Q′V⁻¹Q)⁻¹, its Cholesky factor before the inversion, and the estimates on Q. */
  covariance: Float64Array
  factor: Float64Array
  estimates: Float64Array
}

/** The same with its slopes by the variances, in their order. */
export type RestrictedSlopes = RestrictedPoint & {
  /** Of half the deviance. */
  gradient: Float64Array
  /** Second derivatives of half the deviance, and their expectation ½·tr(P·Gᵢ·P·Gⱼ). */
  observed: Float64Array
  expected: Float64Array
  /** Derivative of the covariance by each variance. */
  covarianceSlopes: Float64Array[]
}

/**
 * The products C′V⁻¹C of C = [Q, response] and ln|V|, as jets in the variances. Groups within groups let V⁻¹
 * be taken from the inside out: a group's mean has the variance of its own effect plus what its inside leaves, and
 * all that counts is how the means scatter about the next mean outside. Every summand is positive, so that large
 * differences between groups cost no digits.
 *
 * @param variances by level, outermost first, the residual last
 */
function weighedProducts(
  { tree, rows, p, weights, means, within }: GroupMeans,
  variances: Float64Array,
  q: number,
) {
  const size = p + 1
  const jet = jetSize(q)
  const levels = tree.counts.length
  const variable = (index: number) => {
    const result = new Float64Array(jet)
    result[0] = variances[index]!
    if (q > 0) result[1 + index] = 1
    return result
  }
  const residual = variable(levels)
  const precision = new Float64Array(jet)
  setInverse(q, precision, 0, residual, 0)
  const logDeterminant = new Float64Array(jet)
  const log = new Float64Array(jet)
  const addLog = (of: Float64Array, at: number, sign: number) => {
    setLog(q, log, 0, of, at)
    for (let d = 0; d < jet; d++) logDeterminant[d]! += sign * log[d]!
  }
  addLog(residual, 0, rows)
  const products = new Float64Array(size * size * jet)
  const constant = new Float64Array(jet)
  for (let at = 0; at < size * size; at++) {
    constant[0] = within[at]!
    addProduct(q, products, at * jet, constant, 0, precision, 0)
  }

  let groups = weights.length
  let inside = new Float64Array(groups * jet)
  let own = new Float64Array(groups * size * jet)
  for (let k = 0; k < groups; k++) {
    for (let d = 0; d < jet; d++) inside[k * jet + d] = residual[d]! / weights[k]!
    for (let c = 0; c < size; c++) own[(k * size + c) * jet] = means[k * size + c]!
  }
  const left = new Float64Array(size * jet)
  const weighed = new Float64Array(size * jet)
  for (let g = levels - 1; g >= 0; g--) {
    const parents = tree.parents[g]!
    const outer = g === 0 ? 1 : tree.counts[g - 1]!
    const omega = new Float64Array(groups * jet)
    const total = new Float64Array(outer * jet)
    const sums = new Float64Array(outer * size * jet)
    for (let k = 0; k < groups; k++) {
      const parent = parents[k]!
      addLog(inside, k * jet, -1)
      inside[k * jet]! += variances[g]!
      if (q > 0) inside[k * jet + 1 + g]! += 1
      addLog(inside, k * jet, 1)
      setInverse(q, omega, k * jet, inside, k * jet)
      for (let d = 0; d < jet; d++) total[parent * jet + d]! += omega[k * jet + d]!
      for (let c = 0; c < size; c++)
        addProduct(q, sums, (parent * size + c) * jet, omega, k * jet, own, (k * size + c) * jet)
    }
    const outside = new Float64Array(outer * jet)
    const outerMeans = new Float64Array(outer * size * jet)
    if (g > 0)
      for (let k = 0; k < outer; k++) {
        setInverse(q, outside, k * jet, total, k * jet)
        for (let c = 0; c < size; c++)
          addProduct(q, outerMeans, (k * size + c) * jet, sums, (k * size + c) * jet, outside, k * jet)
      }
    // The outermost groups scatter about 0: what they have in common is in the fixed effects.
    for (let k = 0; k < groups; k++) {
      weighed.fill(0)
      for (let c = 0; c < size; c++) {
        const mean = (parents[k]! * size + c) * jet
        for (let d = 0; d < jet; d++)
          left[c * jet + d] = own[(k * size + c) * jet + d]! - outerMeans[mean + d]!
        addProduct(q, weighed, c * jet, left, c * jet, omega, k * jet)
      }
      for (let j = 0; j < size; j++)
        for (let i = j; i < size; i++)
          addProduct(q, products, (i + j * size) * jet, left, i * jet, weighed, j * jet)
    }
    ;[groups, inside, own] = [outer, outside, outerMeans]
  }
  for (let j = 0; j < size; j++)
    for (let i = j + 1; i < size; i++)
      products.copyWithin((j + i * size) * jet, (i + j * size) * jet, (i + j * size + 1) * jet)
  return { products, logDeterminant, jet }
}

/** The restricted likelihood at these variances; null where Q′V⁻¹Q cannot be inverted. */
export function restrictedAt(reduced: GroupMeans, variances: Float64Array): RestrictedPoint | null {
  return pointOf(reduced, weighedProducts(reduced, variances, 0))
}

type Weighed = ReturnType<typeof weighedProducts>

function pointOf({ p }: GroupMeans, { products, logDeterminant, jet }: Weighed): RestrictedPoint | null {
  const matrix = partOf(products, p, jet, 0)
  const factor = cholesky(matrix, p)
  if (!factor) return null
  const covariance = inverseOf(factor, p)
  const estimates = times(covariance, p, columnOf(products, p, jet, 0).subarray(0, p))
  const rest =
    products[(p + p * (p + 1)) * jet]! - inner(columnOf(products, p, jet, 0).subarray(0, p), estimates)
  return {
    deviance: logDeterminant[0]! + logDeterminantOf(factor, p) + rest,
    covariance,
    factor,
    estimates,
  }
}

/** Derivative `d` of Q′V⁻¹Q. */
function partOf(products: Float64Array, p: number, jet: number, d: number): Float64Array {
  const result = new Float64Array(p * p)
  for (let j = 0; j < p; j++)
    for (let i = 0; i < p; i++) result[i + j * p] = products[(i + j * (p + 1)) * jet + d]!
  return result
}

/** Derivative `d` of the last column: [Q′V⁻¹r, r′V⁻¹r]. */
function columnOf(products: Float64Array, p: number, jet: number, d: number): Float64Array {
  return Float64Array.from({ length: p + 1 }, (_, i) => products[(i + p * (p + 1)) * jet + d]!)
}

/** The restricted likelihood with its slopes by the variances; null where Q′V⁻¹Q cannot be inverted. */
export function restrictedSlopes(reduced: GroupMeans, variances: Float64Array): RestrictedSlopes | null {
  const { p } = reduced
  const q = variances.length
  const weighed = weighedProducts(reduced, variances, q)
  const point = pointOf(reduced, weighed)
  if (!point) return null
  const { covariance, estimates } = point
  const { products, logDeterminant, jet } = weighed
  // C′V⁻¹C applied to (−estimates, 1): what is left of the response.
  const leftOf = (d: number) => {
    const result = columnOf(products, p, jet, d)
    const q1 = partOf(products, p, jet, d)
    const on = times(q1, p, estimates)
    const cross = inner(result.subarray(0, p), estimates)
    for (let i = 0; i < p; i++) result[i]! -= on[i]!
    result[p]! -= cross
    return result
  }
  const slopes = Array.from({ length: q }, (_, i) => partOf(products, p, jet, 1 + i))
  const lefts = slopes.map((_, i) => leftOf(1 + i))
  const turned = slopes.map((slope) => product(covariance, slope, p))
  const quadratic = (left: Float64Array) => left[p]! - inner(left.subarray(0, p), estimates)
  const gradient = Float64Array.from(
    slopes,
    (slope, i) => 0.5 * (logDeterminant[1 + i]! + traceOfProduct(covariance, slope) + quadratic(lefts[i]!)),
  )
  const observed = new Float64Array(q * q)
  const expected = new Float64Array(q * q)
  for (let i = 0; i < q; i++)
    for (let j = 0; j < q; j++) {
      const d = secondAt(q, i, j)
      const bend = traceOfProduct(covariance, partOf(products, p, jet, d))
      const both = traceOfProduct(turned[i]!, transposed(turned[j]!, p))
      const rest =
        quadratic(leftOf(d)) - 2 * form(covariance, p, lefts[i]!.subarray(0, p), lefts[j]!.subarray(0, p))
      observed[i + j * q] = 0.5 * (logDeterminant[d]! + bend - both + rest)
      expected[i + j * q] = 0.5 * (-logDeterminant[d]! - bend + both)
    }
  const covarianceSlopes = turned.map((matrix) => product(matrix, covariance, p).map((value) => -value))
  return { ...point, gradient, observed, expected, covarianceSlopes }
}

function transposed(a: Float64Array, n: number): Float64Array {
  const result = new Float64Array(n * n)
  for (let j = 0; j < n; j++) for (let i = 0; i < n; i++) result[j + i * n] = a[i + j * n]!
  return result
}
