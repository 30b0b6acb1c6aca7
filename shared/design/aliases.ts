import type { DesignEvaluation } from '../contract/results/plan.ts'
import { type Basis, coefficientsOn } from './basis.ts'
import type { DesignTerm } from './design-terms.ts'
import type { TermErrors } from './error-strata.ts'

/** Each term that can be estimated with what else its estimate holds: terms left out of, or lost in, the model. */
export function aliasesOf(
  terms: readonly DesignTerm[],
  basis: Basis,
  columns: readonly Float64Array[],
  outside: readonly DesignTerm[],
  outsideColumns: readonly Float64Array[],
): DesignEvaluation['aliases'] {
  const kept = new Set(basis.kept)
  const others = [
    ...terms
      .map((term, t) => ({ term, column: columns[t]!, hidden: !kept.has(t) }))
      .filter((one) => one.hidden),
    ...outside.map((term, t) => ({ term, column: outsideColumns[t]! })),
  ].map(({ term, column }) => ({ term, coefficients: coefficientsOn(basis, column) }))
  return basis.kept.flatMap((place, k) => {
    const term = (terms[place] as DesignTerm).name
    const mixed = others
      .filter((other) => Math.abs(other.coefficients[k]!) > 1e-9)
      .map((other) => ({
        term: other.term.name,
        coefficient: Number(other.coefficients[k]!.toPrecision(12)),
      }))
    return mixed.length > 0 ? [{ term, with: mixed }] : []
  })
}

/** Terms that the runs could tell but that cannot be told from a difference between blocks. */
export function hiddenByBlocks(
  terms: readonly DesignTerm[],
  basis: Basis,
  errors: TermErrors,
): DesignEvaluation['aliases'] {
  return basis.kept
    .filter((place) => errors.of[place] === null)
    .map((place) => ({ term: (terms[place] as DesignTerm).name, with: [{ term: 'block', coefficient: 1 }] }))
}
