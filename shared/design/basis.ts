/**
 * Columns of a model made orthonormal in their order, each column that the earlier ones already give left out.
 * By Gram–Schmidt, carried out twice for each column, which keeps Q orthogonal to working precision
 * (Giraud, Langou & Rozložník, Computers & Mathematics with Applications 50, 2005).
 */
export type Basis = {
  /** Places of the columns that were kept, in order. */
  kept: number[]
  /** Orthonormal columns, one for each that was kept. */
  q: Float64Array[]
  /** Upper triangle: r[j] holds the j + 1 coefficients of kept column j on q[0] … q[j]. */
  r: Float64Array[]
}

/** A column counts as given by the earlier ones where less than this share of its length is new. */
const tolerance = 1e-8

/** The basis of columns of equal length. */
export function basisOf(columns: readonly Float64Array[]): Basis {
  const basis: Basis = { kept: [], q: [], r: [] }
  columns.forEach((column, place) => {
    const { coefficients, rest } = split(basis, column)
    const length = norm(rest)
    if (!(length > tolerance * norm(column))) return
    basis.kept.push(place)
    basis.q.push(rest.map((value) => value / length))
    basis.r.push(Float64Array.from([...coefficients, length]))
  })
  return basis
}

/** The coefficients of a column on the kept columns: least squares, exact where they give the column. */
export function coefficientsOn(basis: Basis, column: Float64Array): Float64Array {
  return backSubstitute(basis, split(basis, column).coefficients)
}

/** The natural logarithm of |X′X| of the kept columns. */
export function logDeterminant(basis: Basis): number {
  return basis.r.reduce((sum, column) => sum + 2 * Math.log(column.at(-1) as number), 0)
}

/** R⁻¹ of the kept columns, p × p column-major, upper triangular: (X′X)⁻¹ is R⁻¹R⁻ᵀ. */
export function inverseRoot(basis: Basis): Float64Array {
  const p = basis.q.length
  const inverse = new Float64Array(p * p)
  for (let j = 0; j < p; j++) {
    const unit = new Float64Array(p)
    unit[j] = 1
    inverse.set(backSubstitute(basis, unit), j * p)
  }
  return inverse
}

function split(basis: Basis, column: Float64Array): { coefficients: Float64Array; rest: Float64Array } {
  const coefficients = new Float64Array(basis.q.length)
  const rest = Float64Array.from(column)
  for (let pass = 0; pass < 2; pass++)
    basis.q.forEach((q, k) => {
      let along = 0
      for (let i = 0; i < rest.length; i++) along += q[i]! * rest[i]!
      for (let i = 0; i < rest.length; i++) rest[i]! -= along * q[i]!
      coefficients[k]! += along
    })
  return { coefficients, rest }
}

function backSubstitute(basis: Basis, right: Float64Array): Float64Array {
  const p = basis.q.length
  const solution = Float64Array.from(right)
  for (let j = p - 1; j >= 0; j--) {
    const column = basis.r[j]!
    solution[j]! /= column[j]!
    for (let i = 0; i < j; i++) solution[i]! -= solution[j]! * column[i]!
  }
  return solution
}

function norm(column: Float64Array): number {
  let sum = 0
  for (const value of column) sum += value * value
  return Math.sqrt(sum)
}
