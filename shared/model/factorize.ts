import {
  addMultiple,
  type DoubleDouble,
  divide,
  dot,
  entry,
  fromNumber,
  multiply,
  negative,
  type Paired,
  paired,
  pairedColumns,
  setEntry,
  squareRoot,
  subtract,
} from './double-double.ts'

/**
 * A column counts as a combination of earlier ones where what is left of it is this share of its length or
 * less. Columns hold doubles (relative error 1e-16), so that a true combination leaves about that much; the
 * hardest published set (Filip, degree 10) leaves 1e-10.
 */
const leastShare = 1e-13

/** One Householder reflection 1 − scale·v·v′; entries of v above `from` are not meant. */
type Reflection = { v: Paired; from: number; scale: DoubleDouble }

/** X = Q·R for the columns that are no combination of earlier ones. */
export type Factorization = {
  rows: number
  /** Indices of the columns kept, in order: their number is the rank. */
  kept: number[]
  /** Columns that are combinations of kept ones: their coefficients on `kept`, and the size of their entries. */
  dropped: { column: number; coefficients: number[]; size: number }[]
  reflections: Reflection[]
  /** Column k of R: its entries 0 … k, and zeros. */
  r: Paired[]
  /** By kept column: the power of two that it was divided by. */
  scales: number[]
}

/**
 * Householder QR (Golub & Van Loan, Matrix Computations, section 5.2) in double-double arithmetic. Columns are
 * taken in their order, and one that depends on earlier ones is set aside, so that sums of squares stay in
 * formula order and the terms that cannot be estimated can be named. Pivoting would lose both, and at 32 digits what is
 * left of a column tells a dependent one from a hard one without it (exact-least-squares.test.ts: Kahan’s matrices).
 */
export function factorize(columns: Paired[], rows: number): Factorization {
  const result: Factorization = { rows, kept: [], dropped: [], reflections: [], r: [], scales: [] }
  const own = pairedColumns(columns.length, rows)
  const ofR = pairedColumns(columns.length, columns.length)
  columns.forEach((original, index) => {
    const scale = powerOfTwoNear(original)
    const column = own[index] as Paired
    copyScaled(column, original, 1 / scale)
    const length = Math.sqrt(dot(column, column, 0, rows).hi)
    reflect(result, column)
    const rank = result.kept.length
    const left = squareRoot(dot(column, column, rank, rows))
    if (length === 0 || left.hi <= leastShare * length) {
      const on = solveUpper(result, column)
      const coefficients = on.map((value, k) => (value.hi * scale) / (result.scales[k] as number))
      result.dropped.push({ column: index, coefficients, size: length === 0 ? 0 : scale })
      return
    }
    const first = entry(column, rank)
    const diagonal = first.hi > 0 ? negative(left) : left
    const r = ofR[rank] as Paired
    for (let i = 0; i < rank; i++) setEntry(r, i, entry(column, i))
    setEntry(r, rank, diagonal)
    setEntry(column, rank, subtract(first, diagonal))
    result.reflections.push({
      v: column,
      from: rank,
      scale: divide(fromNumber(1), subtract(multiply(left, left), multiply(first, diagonal))),
    })
    result.r.push(r)
    result.kept.push(index)
    result.scales.push(scale)
  })
  return result
}

/** y becomes Q′y. */
export function reflect({ reflections, rows }: Factorization, y: Paired): void {
  for (const reflection of reflections) reflectOnce(reflection, y, rows)
}

/** y becomes Q·y. */
export function reflectBack({ reflections, rows }: Factorization, y: Paired): void {
  for (let k = reflections.length - 1; k >= 0; k--) reflectOnce(reflections[k] as Reflection, y, rows)
}

function reflectOnce({ v, from, scale }: Reflection, y: Paired, rows: number): void {
  addMultiple(y, negative(multiply(scale, dot(v, y, from, rows))), v, from, rows)
}

/** b with R·b = the first entries of `y`, in the scaled columns. */
export function solveUpper({ r }: Factorization, y: Paired): DoubleDouble[] {
  const b = r.map((_, k) => entry(y, k))
  for (let k = r.length - 1; k >= 0; k--) {
    const column = r[k] as Paired
    const value = divide(b[k] as DoubleDouble, entry(column, k))
    b[k] = value
    for (let i = 0; i < k; i++) b[i] = subtract(b[i] as DoubleDouble, multiply(value, entry(column, i)))
  }
  return b
}

/**
 * z with R′·z = x, where x is given in the columns' own units: x′(X′X)⁻¹x is the sum of squares of z.
 *
 * @param from the first entry of x that is not 0
 * @param z where to write it: zeros
 */
export function solveTransposed(
  { r, scales }: Factorization,
  x: Paired,
  from = 0,
  z = paired(r.length),
): Paired {
  for (let k = from; k < r.length; k++) {
    const column = r[k] as Paired
    const scale = scales[k] as number
    const own = { hi: (x.hi[k] as number) / scale, lo: (x.lo[k] as number) / scale }
    setEntry(z, k, divide(subtract(own, dot(column, z, from, k)), entry(column, k)))
  }
  return z
}

/** Diagonal of the hat matrix, by row. The reflections are exact to a double, and so are these. */
export function leverages({ reflections, rows }: Factorization): Float64Array {
  const result = new Float64Array(rows)
  const q = new Float64Array(rows)
  for (let k = 0; k < reflections.length; k++) {
    q.fill(0)
    q[k] = 1
    for (let j = k; j >= 0; j--) {
      const { v, from, scale } = reflections[j] as Reflection
      let sum = 0
      for (let i = from; i < rows; i++) sum += (v.hi[i] as number) * (q[i] as number)
      const c = sum * scale.hi
      for (let i = from; i < rows; i++) q[i] = (q[i] as number) - c * (v.hi[i] as number)
    }
    for (let i = 0; i < rows; i++) result[i] = (result[i] as number) + (q[i] as number) ** 2
  }
  return result
}

function powerOfTwoNear(column: Paired): number {
  let largest = 0
  for (let i = 0; i < column.hi.length; i++) largest = Math.max(largest, Math.abs(column.hi[i] as number))
  return largest === 0 ? 1 : 2 ** Math.floor(Math.log2(largest))
}

function copyScaled(to: Paired, from: Paired, factor: number): void {
  for (let i = 0; i < to.hi.length; i++) {
    to.hi[i] = (from.hi[i] as number) * factor
    to.lo[i] = (from.lo[i] as number) * factor
  }
}
