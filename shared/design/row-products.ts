import { type DesignTerm, type Place, termAt } from './design-terms.ts'
import { dot } from './information.ts'

/** Products by a symmetric matrix of the row at a value: with the present row, and with itself. */
export type Products = { both: (at: number) => number; to: (at: number) => number }

/** Where a row is changed: the present place and row, the matrix, and the matrix times the row. */
export type Bend = { place: Place; f: number; row: Float64Array; matrix: Float64Array; image: Float64Array }

/** The terms that change with one factor, by their columns. */
export type Split = {
  at: number[]
  terms: DesignTerm[]
  /** Power of a factor with a range, and what is left of the term when the factor is taken out. */
  powers: number[]
  rest: DesignTerm[]
}

/** The terms of a model that hold a factor, named by its place. */
export function splitBy(terms: readonly DesignTerm[], factor: number): Split {
  const at = terms.flatMap((term, j) => (term.parts.some((part) => part.factor === factor) ? [j] : []))
  const own = at.map((j) => terms[j] as DesignTerm)
  return {
    at,
    terms: own,
    powers: own.map((term) =>
      term.parts.reduce((sum, part) => sum + (part.factor === factor && 'power' in part ? part.power : 0), 0),
    ),
    rest: own.map(({ name, parts }) => ({ name, parts: parts.filter((part) => part.factor !== factor) })),
  }
}

/** A level by name: the row changes by d in its own columns, and its products by what d brings. */
export function levelProducts({ at, terms }: Split, { place, f, row, matrix, image }: Bend): Products {
  const p = row.length
  const present = dot(row, image)
  const changeTo = (level: number) => {
    const there = Float64Array.from(place)
    there[f] = level
    return Float64Array.from(at, (j, a) => termAt(terms[a]!, there) - row[j]!)
  }
  const along = (d: Float64Array) => d.reduce((sum, value, a) => sum + value * image[at[a]!]!, 0)
  return {
    both: (level) => present + along(changeTo(level)),
    to: (level) => {
      const d = changeTo(level)
      let square = 0
      for (let a = 0; a < d.length; a++)
        for (let b = 0; b < d.length; b++) square += d[a]! * d[b]! * matrix[at[a]! + at[b]! * p]!
      return present + 2 * along(d) + square
    },
  }
}

/**
 * A value t of a range: the row is one that does not change plus s with sⱼ = wⱼ·t^eⱼ in its own columns, so both
 * products are polynomials in t.
 */
export function rangeProducts({ at, powers, rest }: Split, { place, row, matrix, image }: Bend): Products {
  const p = row.length
  const highest = Math.max(0, ...powers)
  const both = new Float64Array(highest + 1)
  const to = new Float64Array(2 * highest + 1)
  const held = at.map((j) => row[j]!)
  const weights = rest.map((term) => termAt(term, place))
  const present = dot(row, image)
  both[0] = present
  to[0] = present
  for (let a = 0; a < at.length; a++) {
    const j = at[a]!
    let byHeld = 0
    for (let b = 0; b < at.length; b++) {
      const entry = matrix[at[b]! + j * p]!
      byHeld += entry * held[b]!
      to[powers[a]! + powers[b]!]! += weights[a]! * weights[b]! * entry
    }
    // The matrix times what does not change, in this column.
    const still = image[j]! - byHeld
    both[0]! -= held[a]! * image[j]!
    both[powers[a]!]! += weights[a]! * image[j]!
    to[0]! -= held[a]! * (still + image[j]!)
    to[powers[a]!]! += 2 * weights[a]! * still
  }
  return { both: (t) => polynomialAt(both, t), to: (t) => polynomialAt(to, t) }
}

function polynomialAt(polynomial: Float64Array, at: number): number {
  let value = 0
  for (let e = polynomial.length - 1; e >= 0; e--) value = value * at + polynomial[e]!
  return value
}
