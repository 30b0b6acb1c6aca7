/** Dense symmetric matrices of order n as Float64Array, column after column: entry (i, j) at i + j·n. */

/**
 * The lower triangle L with L·L′ = A (Golub & Van Loan, Matrix Computations, section 4.2), zero above the
 * diagonal; null where A is not positive definite.
 */
export function cholesky(a: Float64Array, n: number): Float64Array | null {
  const l = new Float64Array(n * n)
  for (let j = 0; j < n; j++) for (let i = j; i < n; i++) l[i + j * n] = a[i + j * n]!
  for (let j = 0; j < n; j++) {
    const start = j * n
    const pivot = l[j + start]!
    if (!(pivot > 0)) return null
    const root = Math.sqrt(pivot)
    l[j + start] = root
    for (let i = j + 1; i < n; i++) l[i + start]! /= root
    for (let k = j + 1; k < n; k++) {
      const factor = l[k + start]!
      if (factor === 0) continue
      const other = k * n
      for (let i = k; i < n; i++) l[i + other]! -= factor * l[i + start]!
    }
  }
  return l
}

/** x with L·x = b. */
export function solveLower(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b)
  for (let j = 0; j < n; j++) {
    const value = x[j]! / l[j + j * n]!
    x[j] = value
    for (let i = j + 1; i < n; i++) x[i]! -= value * l[i + j * n]!
  }
  return x
}

/** x with L′·x = b. */
export function solveLowerTransposed(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b)
  for (let j = n - 1; j >= 0; j--) {
    let value = x[j]!
    for (let i = j + 1; i < n; i++) value -= l[i + j * n]! * x[i]!
    x[j] = value / l[j + j * n]!
  }
  return x
}

/** x with A·x = b, from L. */
export function solveSymmetric(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  return solveLowerTransposed(l, n, solveLower(l, n, b))
}

/** A⁻¹ from L. */
export function inverseOf(l: Float64Array, n: number): Float64Array {
  // The rows of L⁻¹, kept as columns, so that both loops run along memory.
  const half = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const row = i * n
    for (let k = 0; k < i; k++) {
      const factor = l[i + k * n]!
      if (factor === 0) continue
      const other = k * n
      for (let j = 0; j <= k; j++) half[j + row]! -= factor * half[j + other]!
    }
    half[i + row] = 1
    const pivot = l[i + row]!
    for (let j = 0; j <= i; j++) half[j + row]! /= pivot
  }
  const result = new Float64Array(n * n)
  for (let k = 0; k < n; k++) {
    const row = k * n
    for (let j = 0; j <= k; j++) {
      const factor = half[j + row]!
      if (factor === 0) continue
      const column = j * n
      for (let i = j; i <= k; i++) result[i + column]! += factor * half[i + row]!
    }
  }
  for (let j = 0; j < n; j++) for (let i = j + 1; i < n; i++) result[j + i * n] = result[i + j * n]!
  return result
}

/** ln |A| from L. */
export function logDeterminantOf(l: Float64Array, n: number): number {
  let sum = 0
  for (let j = 0; j < n; j++) sum += Math.log(l[j + j * n]!)
  return 2 * sum
}

/** A·x. */
export function times(a: Float64Array, n: number, x: ArrayLike<number>): Float64Array {
  const result = new Float64Array(n)
  for (let j = 0; j < n; j++) {
    const factor = x[j]!
    if (factor === 0) continue
    for (let i = 0; i < n; i++) result[i]! += factor * a[i + j * n]!
  }
  return result
}

/** x′·A·y. */
export function form(a: Float64Array, n: number, x: ArrayLike<number>, y: ArrayLike<number>): number {
  return inner(x, times(a, n, y))
}

/** x′·y. */
export function inner(x: ArrayLike<number>, y: ArrayLike<number>): number {
  let sum = 0
  for (let i = 0; i < x.length; i++) sum += x[i]! * y[i]!
  return sum
}

/** The trace of A·B for symmetric matrices: the sum of the products of their entries. */
export function traceOfProduct(a: Float64Array, b: Float64Array): number {
  return inner(a, b)
}

/** A·B, both of order n; they need not commute. */
export function product(a: Float64Array, b: Float64Array, n: number): Float64Array {
  const result = new Float64Array(n * n)
  for (let j = 0; j < n; j++) result.set(times(a, n, b.subarray(j * n, j * n + n)), j * n)
  return result
}

/**
 * Eigenvalues, and eigenvectors as columns, by Jacobi's rotations (Golub & Van Loan, section 8.5): accurate, and
 * quick enough for the few rows that a test of terms has.
 */
export function eigenOf(a: Float64Array, n: number): { values: Float64Array; vectors: Float64Array } {
  const m = a.slice()
  const vectors = new Float64Array(n * n)
  for (let i = 0; i < n; i++) vectors[i + i * n] = 1
  const size = inner(m, m)
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0
    for (let j = 0; j < n; j++) for (let i = 0; i < j; i++) off += m[i + j * n]! ** 2
    if (off <= 1e-32 * size) break
    for (let q = 1; q < n; q++) for (let p = 0; p < q; p++) rotate(m, vectors, n, p, q)
  }
  return { values: Float64Array.from({ length: n }, (_, i) => m[i + i * n]!), vectors }
}

function rotate(m: Float64Array, vectors: Float64Array, n: number, p: number, q: number): void {
  const across = m[p + q * n]!
  if (across === 0) return
  const tau = (m[q + q * n]! - m[p + p * n]!) / (2 * across)
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.hypot(1, tau))
  const c = 1 / Math.hypot(1, t)
  const s = t * c
  const turn = (x: Float64Array, at: number, other: number) => {
    const [u, v] = [x[at]!, x[other]!]
    x[at] = c * u - s * v
    x[other] = s * u + c * v
  }
  for (let i = 0; i < n; i++) turn(m, i + p * n, i + q * n)
  for (let i = 0; i < n; i++) turn(m, p + i * n, q + i * n)
  for (let i = 0; i < n; i++) turn(vectors, i + p * n, i + q * n)
}
