/** Dense symmetric matrices of order n as Float64Array, column after column: entry (i, j) at i + j·n. */

/**
 * The lower triangle L with L·L′ = A (Golub & Van Loan, Matrix Computations, section 4.2), zero above the
 * diagonal; null where A is not positive definite. Four columns are taken at once: that halves the time.
 */
export function cholesky(a: Float64Array, n: number): Float64Array | null {
  const l = new Float64Array(n * n)
  for (let j = 0; j < n; j++) {
    const own = j * n
    for (let i = j; i < n; i++) l[own + i] = a[own + i]!
    let k = 0
    for (; k + 3 < j; k += 4) {
      const [k0, k1, k2, k3] = [k * n, (k + 1) * n, (k + 2) * n, (k + 3) * n]
      const [x0, x1, x2, x3] = [l[j + k0]!, l[j + k1]!, l[j + k2]!, l[j + k3]!]
      for (let i = j; i < n; i++)
        l[own + i]! -= x0 * l[i + k0]! + x1 * l[i + k1]! + x2 * l[i + k2]! + x3 * l[i + k3]!
    }
    for (; k < j; k++) {
      const x = l[j + k * n]!
      for (let i = j; i < n; i++) l[own + i]! -= x * l[i + k * n]!
    }
    const pivot = l[own + j]!
    if (!(pivot > 0)) return null
    const root = Math.sqrt(pivot)
    l[own + j] = root
    for (let i = j + 1; i < n; i++) l[own + i]! /= root
  }
  return l
}

/** x with L·x = b. */
export function solveLower(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = new Float64Array(b)
  for (let j = 0; j < n; j++) {
    const value = x[j]! / l[j + j * n]!
    x[j] = value
    for (let i = j + 1; i < n; i++) x[i]! -= value * l[i + j * n]!
  }
  return x
}

/** x with L′·x = b. */
function solveLowerTransposed(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
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
  const half = lowerInverse(l, n)
  const result = new Float64Array(n * n)
  const set = (i: number, j: number, value: number) => {
    result[i + j * n] = value
    result[j + i * n] = value
  }
  for (let i = 0; i < n; i++) {
    const own = i * n
    let j = 0
    for (; j + 3 <= i; j += 4) {
      const [j0, j1, j2, j3] = [j * n, (j + 1) * n, (j + 2) * n, (j + 3) * n]
      let [s0, s1, s2, s3] = [0, 0, 0, 0]
      for (let k = i; k < n; k++) {
        const x = half[own + k]!
        s0 += x * half[j0 + k]!
        s1 += x * half[j1 + k]!
        s2 += x * half[j2 + k]!
        s3 += x * half[j3 + k]!
      }
      set(i, j, s0)
      set(i, j + 1, s1)
      set(i, j + 2, s2)
      set(i, j + 3, s3)
    }
    for (; j <= i; j++) {
      let sum = 0
      for (let k = i; k < n; k++) sum += half[own + k]! * half[j * n + k]!
      set(i, j, sum)
    }
  }
  return result
}

/** L⁻¹, column after column, four rows of each at once. */
function lowerInverse(l: Float64Array, n: number): Float64Array {
  const v = new Float64Array(n * n)
  for (let j = 0; j < n; j++) {
    const own = j * n
    v[own + j] = 1
    let k = j
    for (; k + 3 < n; k += 4) {
      const [k0, k1, k2, k3] = [k * n, (k + 1) * n, (k + 2) * n, (k + 3) * n]
      const x0 = v[own + k]! / l[k + k0]!
      const x1 = (v[own + k + 1]! - x0 * l[k + 1 + k0]!) / l[k + 1 + k1]!
      const x2 = (v[own + k + 2]! - x0 * l[k + 2 + k0]! - x1 * l[k + 2 + k1]!) / l[k + 2 + k2]!
      const x3 =
        (v[own + k + 3]! - x0 * l[k + 3 + k0]! - x1 * l[k + 3 + k1]! - x2 * l[k + 3 + k2]!) / l[k + 3 + k3]!
      v[own + k] = x0
      v[own + k + 1] = x1
      v[own + k + 2] = x2
      v[own + k + 3] = x3
      for (let i = k + 4; i < n; i++)
        v[own + i]! -= x0 * l[i + k0]! + x1 * l[i + k1]! + x2 * l[i + k2]! + x3 * l[i + k3]!
    }
    for (; k < n; k++) {
      const x = v[own + k]! / l[k + k * n]!
      v[own + k] = x
      for (let i = k + 1; i < n; i++) v[own + i]! -= x * l[i + k * n]!
    }
  }
  return v
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
  let sum = 0
  for (let j = 0; j < n; j++) {
    let column = 0
    for (let i = 0; i < n; i++) column += x[i]! * a[i + j * n]!
    sum += column * y[j]!
  }
  return sum
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
