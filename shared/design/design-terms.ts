import type { Factor } from '../contract/things.ts'
import { quoted } from '../model/expression.ts'

/** One coefficient of a design's model: a product of powers of continuous factors and contrasts of levels. */
export type DesignTerm = { name: string; parts: TermPart[] }

/** A factor in a term, by its place in the list of factors. */
export type TermPart =
  | { factor: number; power: number }
  /** Sum-to-zero contrast: +1 at this level, −1 at the first, 0 at the others. */
  | { factor: number; level: number }

export const constantTerm: DesignTerm = { name: 'constant', parts: [] }

/** The columns of one factor's main effect: one where continuous, levels − 1 where categorical. */
export function mainEffect(factors: readonly Factor[], index: number): DesignTerm[] {
  const factor = factors[index] as Factor
  const name = quoted(factor.name)
  if (factor.kind === 'continuous') return [{ name, parts: [{ factor: index, power: 1 }] }]
  return factor.levelNames.slice(1).map((level, i) => ({
    name: `${name}[${level}]`,
    parts: [{ factor: index, level: i + 1 }],
  }))
}

/** The product of two sets of columns, named with a point between. */
export function crossed(left: readonly DesignTerm[], right: readonly DesignTerm[]): DesignTerm[] {
  return left.flatMap((a) =>
    right.map((b) => ({ name: `${a.name}.${b.name}`, parts: [...a.parts, ...b.parts] })),
  )
}

/**
 * The model that a plan is judged by unless another is named: constant, main effects, two-factor
 * interactions, and squares of the factors for which `curved` says so.
 */
export function usualTerms(factors: readonly Factor[], curved: (factor: Factor) => boolean): DesignTerm[] {
  const mains = factors.map((_, i) => mainEffect(factors, i))
  const pairs = mains.flatMap((left, i) => mains.slice(i + 1).flatMap((right) => crossed(left, right)))
  const squares = factors.flatMap((factor, i) =>
    factor.kind === 'continuous' && curved(factor) ? [power(factors, i, 2)] : [],
  )
  return [constantTerm, ...mains.flat(), ...pairs, ...squares]
}

/** A power of a continuous factor. */
export function power(factors: readonly Factor[], index: number, exponent: number): DesignTerm {
  return {
    name: `${quoted((factors[index] as Factor).name)}^${exponent}`,
    parts: [{ factor: index, power: exponent }],
  }
}

/** Whether both terms are the same product, in whatever order it is written. */
export function sameTerm(a: DesignTerm, b: DesignTerm): boolean {
  const written = (term: DesignTerm) =>
    term.parts
      .map((part) => JSON.stringify(part))
      .sort()
      .join()
  return written(a) === written(b)
}

/** The same for the columns of one term, which differ in the levels of their factors only. */
export function jointKey(term: DesignTerm): string {
  return JSON.stringify(
    term.parts.map((part) => ('level' in part ? [part.factor] : [part.factor, part.power])),
  )
}

/** Order of a term: 0 constant, 1 main effect, 2 interaction of two or square, and so on. */
export function orderOf(term: DesignTerm): number {
  return term.parts.reduce((sum, part) => sum + ('power' in part ? part.power : 1), 0)
}

/** True where the term holds only the factors that `chosen` names, and at least one. */
export function onlyOf(term: DesignTerm, chosen: (factor: number) => boolean): boolean {
  return term.parts.length > 0 && term.parts.every((part) => chosen(part.factor))
}

/** A point in numbers: coded value of a continuous factor, number of the level of a categorical one. */
export type Place = Float64Array

/** The point of coded settings as numbers. */
export function placeOf(factors: readonly Factor[], coded: Record<string, number | string>): Place {
  return Float64Array.from(factors, (factor) => {
    const value = coded[factor.name]
    return typeof value === 'string' ? factor.levelNames.indexOf(value) : (value as number)
  })
}

/** The value of a term at a point. */
export function termAt(term: DesignTerm, place: Place): number {
  let product = 1
  for (const part of term.parts) {
    const at = place[part.factor] as number
    if ('power' in part) product *= part.power === 1 ? at : at ** part.power
    else product *= at === part.level ? 1 : at === 0 ? -1 : 0
  }
  return product
}

/** The model's columns over the points: one array of n values for each term. */
export function columnsOf(terms: readonly DesignTerm[], places: readonly Place[]): Float64Array[] {
  return terms.map((term) => Float64Array.from(places, (place) => termAt(term, place)))
}
