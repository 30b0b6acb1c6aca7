/**
 * Numbers of about 32 significant digits as an unevaluated sum of two doubles, by error-free transformations:
 * T. J. Dekker, Numerische Mathematik 18 (1971) 224–242; D. E. Knuth, The Art of Computer Programming 2,
 * section 4.2.2; the combinations follow Hida, Li & Bailey, 15th IEEE Symposium on Computer Arithmetic (2001).
 */
export type DoubleDouble = { hi: number; lo: number }

/** A vector of such numbers. */
export type Paired = { hi: Float64Array; lo: Float64Array }

/** 2²⁷ + 1: cuts a double into two halves of 26 bits (Veltkamp). */
const splitter = 134217729

export const zero: DoubleDouble = { hi: 0, lo: 0 }

export function paired(length: number): Paired {
  const both = new Float64Array(2 * length)
  return { hi: both.subarray(0, length), lo: both.subarray(length) }
}

/** Several vectors in one piece of memory: making many small arrays takes longer than computing with them. */
export function pairedColumns(count: number, length: number): Paired[] {
  const all = new Float64Array(2 * count * length)
  const part = (k: number) => all.subarray(k * length, (k + 1) * length)
  return Array.from({ length: count }, (_, k) => ({ hi: part(2 * k), lo: part(2 * k + 1) }))
}

export function copyOf(x: Paired): Paired {
  const result = paired(x.hi.length)
  result.hi.set(x.hi)
  result.lo.set(x.lo)
  return result
}

export function entry(x: Paired, i: number): DoubleDouble {
  return { hi: x.hi[i] as number, lo: x.lo[i] as number }
}

export function setEntry(x: Paired, i: number, value: DoubleDouble): void {
  x.hi[i] = value.hi
  x.lo[i] = value.lo
}

/** a + b exactly, as two doubles. */
export function exactSum(a: number, b: number): DoubleDouble {
  const hi = a + b
  const part = hi - a
  return { hi, lo: a - (hi - part) + (b - part) }
}

/** a · b exactly, as two doubles, unless it leaves the range of a double. */
export function exactProduct(a: number, b: number): DoubleDouble {
  const hi = a * b
  const aCut = splitter * a
  const aHigh = aCut - (aCut - a)
  const aLow = a - aHigh
  const bCut = splitter * b
  const bHigh = bCut - (bCut - b)
  const bLow = b - bHigh
  return { hi, lo: aLow * bLow - (hi - aHigh * bHigh - aLow * bHigh - aHigh * bLow) }
}

export function fromNumber(hi: number): DoubleDouble {
  return { hi, lo: 0 }
}

/** Moves what fits into `hi`; |hi| must not be smaller than |lo|. */
function settled(hi: number, lo: number): DoubleDouble {
  const sum = hi + lo
  return { hi: sum, lo: lo - (sum - hi) }
}

export function negative(a: DoubleDouble): DoubleDouble {
  return { hi: -a.hi, lo: -a.lo }
}

export function add(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  const high = exactSum(a.hi, b.hi)
  const low = exactSum(a.lo, b.lo)
  const first = settled(high.hi, high.lo + low.hi)
  return settled(first.hi, first.lo + low.lo)
}

export function subtract(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  return add(a, negative(b))
}

export function multiply(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  const product = exactProduct(a.hi, b.hi)
  return settled(product.hi, product.lo + (a.hi * b.lo + a.lo * b.hi))
}

export function divide(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  const first = a.hi / b.hi
  const rest = subtract(a, multiply(b, fromNumber(first)))
  const second = rest.hi / b.hi
  const last = subtract(rest, multiply(b, fromNumber(second)))
  return add(settled(first, second), fromNumber(last.hi / b.hi))
}

/** The root of a number that is not negative, by one Newton step from the root in doubles (Karp & Markstein). */
export function squareRoot(a: DoubleDouble): DoubleDouble {
  if (a.hi <= 0) return zero
  const root = Math.sqrt(a.hi)
  const rest = subtract(a, exactProduct(root, root))
  return settled(root, rest.hi / (2 * root))
}

/** a to a whole power of at least 1. */
export function wholePower(a: DoubleDouble, exponent: number): DoubleDouble {
  let result = a
  for (let i = 1; i < exponent; i++) result = multiply(result, a)
  return result
}

/** Σ x[i]·y[i] over from ≤ i < to. */
export function dot(x: Paired, y: Paired, from: number, to: number): DoubleDouble {
  const { hi: xh, lo: xl } = x
  const { hi: yh, lo: yl } = y
  let hi = 0
  let lo = 0
  for (let i = from; i < to; i++) {
    const a = xh[i] as number
    const b = yh[i] as number
    const product = a * b
    const aCut = splitter * a
    const aHigh = aCut - (aCut - a)
    const aLow = a - aHigh
    const bCut = splitter * b
    const bHigh = bCut - (bCut - b)
    const bLow = b - bHigh
    const productLow =
      aLow * bLow -
      (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow) +
      (a * (yl[i] as number) + (xl[i] as number) * b)
    const sum = hi + product
    const part = sum - hi
    const low = hi - (sum - part) + (product - part) + (lo + productLow)
    hi = sum + low
    lo = low - (hi - sum)
  }
  return { hi, lo }
}

/** y[i] += c·x[i] over from ≤ i < to. */
export function addMultiple(y: Paired, c: DoubleDouble, x: Paired, from: number, to: number): void {
  const { hi: xh, lo: xl } = x
  const { hi: yh, lo: yl } = y
  const a = c.hi
  const aCut = splitter * a
  const aHigh = aCut - (aCut - a)
  const aLow = a - aHigh
  for (let i = from; i < to; i++) {
    const b = xh[i] as number
    const product = a * b
    const bCut = splitter * b
    const bHigh = bCut - (bCut - b)
    const bLow = b - bHigh
    const productLow =
      aLow * bLow -
      (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow) +
      (a * (xl[i] as number) + c.lo * b)
    const before = yh[i] as number
    const sum = before + product
    const part = sum - before
    const low = before - (sum - part) + (product - part) + ((yl[i] as number) + productLow)
    const hi = sum + low
    yh[i] = hi
    yl[i] = low - (hi - sum)
  }
}

/** y[i] ·= x[i]. */
export function multiplyEach(y: Paired, x: Paired): void {
  for (let i = 0; i < y.hi.length; i++) setEntry(y, i, multiply(entry(y, i), entry(x, i)))
}

/** Σ x[i]². */
export function sumOfSquares(x: Paired): DoubleDouble {
  return dot(x, x, 0, x.hi.length)
}
