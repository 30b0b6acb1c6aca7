/**
 * Numbers that carry their first and second derivatives by q variables (forward differentiation; Griewank &
 * Walther, Evaluating Derivatives, 2008): the value, q slopes, and the second derivatives (i, j) for i ≤ j.
 * Arrays hold one jet after the other; `at` is the index of a jet's value. With q = 0 a jet is its value.
 */

/** How many numbers a jet holds. */
export function jetSize(q: number): number {
  return 1 + q + (q * (q + 1)) / 2
}

/** Place of the second derivative by variables i and j within a jet. */
export function secondAt(q: number, i: number, j: number): number {
  const [low, high] = i < j ? [i, j] : [j, i]
  return 1 + q + low * q - (low * (low - 1)) / 2 + (high - low)
}

/** to += a·b. */
export function addProduct(
  q: number,
  to: Float64Array,
  toAt: number,
  a: Float64Array,
  aAt: number,
  b: Float64Array,
  bAt: number,
): void {
  const a0 = a[aAt]!
  const b0 = b[bAt]!
  to[toAt]! += a0 * b0
  let second = 1 + q
  for (let i = 1; i <= q; i++) {
    const ai = a[aAt + i]!
    const bi = b[bAt + i]!
    to[toAt + i]! += ai * b0 + a0 * bi
    for (let j = i; j <= q; j++, second++)
      to[toAt + second]! +=
        a[aAt + second]! * b0 + ai * b[bAt + j]! + a[aAt + j]! * bi + a0 * b[bAt + second]!
  }
}

/** to = h(a), where `value`, `slope` and `bend` are h and its derivatives at the value of a. */
function compose(
  q: number,
  to: Float64Array,
  toAt: number,
  a: Float64Array,
  aAt: number,
  [value, slope, bend]: [number, number, number],
): void {
  let second = 1 + q
  for (let i = 1; i <= q; i++)
    for (let j = i; j <= q; j++, second++)
      to[toAt + second] = slope * a[aAt + second]! + bend * a[aAt + i]! * a[aAt + j]!
  for (let i = 1; i <= q; i++) to[toAt + i] = slope * a[aAt + i]!
  to[toAt] = value
}

/** to = 1/a. */
export function setInverse(q: number, to: Float64Array, toAt: number, a: Float64Array, aAt: number): void {
  const value = 1 / a[aAt]!
  compose(q, to, toAt, a, aAt, [value, -value * value, 2 * value * value * value])
}

/** to = ln a. */
export function setLog(q: number, to: Float64Array, toAt: number, a: Float64Array, aAt: number): void {
  const inverse = 1 / a[aAt]!
  compose(q, to, toAt, a, aAt, [Math.log(a[aAt]!), inverse, -inverse * inverse])
}
