/** The triangle R of Q·R = columns, column by column, and Q′ of a right side. */
export type Triangle = {
  r: Float64Array[]
  /** The first entries of Q′·right, one a column. */
  effects: Float64Array
  /** Sum of squares of its other entries. */
  rest: number
  /** How many columns are no combination of earlier ones. */
  rank: number
}

/** A column counts as a combination of earlier ones where it keeps no more than this share of its length. */
const leastShare = 1e-13

/**
 * Householder's triangle in plain doubles (Golub & Van Loan, Matrix Computations, section 5.2): enough to find the
 * way of a search, whose end is then told by `leastSquares`. There must be as many rows as columns, or more.
 */
export function triangleOf(columns: Float64Array[], right: Float64Array): Triangle {
  const rows = right.length
  const work = columns.map((column) => column.slice())
  const effects = right.slice()
  const diagonals = new Float64Array(columns.length)
  let rank = 0
  work.forEach((v, k) => {
    const whole = lengthFrom(columns[k] as Float64Array, 0)
    const left = lengthFrom(v, k)
    if (left > leastShare * whole) rank++
    if (left === 0) return
    const diagonal = (v[k] as number) > 0 ? -left : left
    const first = (v[k] as number) - diagonal
    // v scaled to 1 at its head, so that no square overflows.
    for (let i = k + 1; i < rows; i++) v[i]! /= first
    const scale = -first / diagonal
    for (let j = k + 1; j < work.length; j++) reflect(work[j] as Float64Array, v, k, scale)
    reflect(effects, v, k, scale)
    diagonals[k] = diagonal
  })
  let rest = 0
  for (let i = columns.length; i < rows; i++) rest += (effects[i] as number) ** 2
  const r = work.map((column, k) => {
    const result = column.slice(0, k + 1)
    result[k] = diagonals[k] as number
    return result
  })
  return { r, effects: effects.slice(0, columns.length), rest, rank }
}

/** b with R·b = effects; R must have no zero on its diagonal. */
export function solved({ r, effects }: Triangle): Float64Array {
  const b = effects.slice()
  for (let k = r.length - 1; k >= 0; k--) {
    const column = r[k] as Float64Array
    const value = (b[k] as number) / (column[k] as number)
    b[k] = value
    for (let i = 0; i < k; i++) b[i]! -= value * (column[i] as number)
  }
  return b
}

/** y −= scale·v·(v′y), v being 1 at `from` and 0 above. */
function reflect(y: Float64Array, v: Float64Array, from: number, scale: number): void {
  let sum = y[from] as number
  for (let i = from + 1; i < y.length; i++) sum += (v[i] as number) * (y[i] as number)
  sum *= scale
  y[from]! -= sum
  for (let i = from + 1; i < y.length; i++) y[i]! -= sum * (v[i] as number)
}

function lengthFrom(values: Float64Array, from: number): number {
  let largest = 0
  for (let i = from; i < values.length; i++) largest = Math.max(largest, Math.abs(values[i] as number))
  if (largest === 0) return 0
  let sum = 0
  for (let i = from; i < values.length; i++) sum += ((values[i] as number) / largest) ** 2
  return largest * Math.sqrt(sum)
}
