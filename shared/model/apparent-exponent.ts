import { columnOf } from './expression.ts'
import { parseFormula } from './formula.ts'

/** Columns that hold the spin speed by their names. */
const speeds: readonly string[] = ['speed', 'rpm']

/**
 * The term whose slope, with its sign turned, is the apparent exponent b of thickness = K·speed^−b: the logarithm of
 * the speed in a model of the same logarithm of its response, where no other term holds the speed. It is called
 * apparent since it holds for the tools and the range that were run.
 *
 * @param model the formula
 * @returns the name of the term as reports print it, or null where the model has no such exponent
 */
export function apparentExponentTerm(model: string): string | null {
  const formula = parseFormula(model)
  if (!formula.ok) return null
  const { response, terms } = formula.value
  if (response?.kind !== 'function') return null
  const ofSpeed = terms.filter((term) => term.some((part) => speeds.includes(columnOf(part))))
  const [[part, second] = [], other] = ofSpeed
  if (other || second || part?.kind !== 'function' || part.of.kind !== 'column') return null
  const isLog = part.name === 'log' || part.name === 'log10'
  return isLog && part.name === response.name ? `${part.name}(${columnOf(part)})` : null
}
