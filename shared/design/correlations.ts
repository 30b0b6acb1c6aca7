import type { DesignEvaluation } from '../contract/results/plan.ts'
import { type DesignTerm, jointKey } from './design-terms.ts'
import type { TermErrors } from './error-strata.ts'

/** Correlations of at least this size are named: below it a standard error grows by less than 5 %. */
const worthNaming = 0.3

/**
 * Correlations between the estimates of every two terms but the constant, from their covariance over blocks
 * and visits: 0 where the design tells them apart, near ±1 where it nearly mistakes one for the other.
 *
 * @returns the matrix over the terms that can be estimated, and the strongest pairs in falling order, without
 *   those of two levels in one term, whose correlation is made by the coding
 */
export function correlationsOf(
  terms: readonly DesignTerm[],
  errors: TermErrors,
): DesignEvaluation['correlations'] {
  const places = terms.flatMap((term, t) => (term.parts.length > 0 && errors.of[t] !== null ? [t] : []))
  const names = places.map((t) => (terms[t] as DesignTerm).name)
  const matrix = places.map((a) => places.map((b) => (a === b ? 1 : correlation(errors, a, b))))
  const strongest = matrix
    .flatMap((row, a) =>
      row.slice(0, a).map((value, b) => ({
        term: names[b] as string,
        with: names[a] as string,
        correlation: value,
        sameTerm:
          jointKey(terms[places[b] as number] as DesignTerm) ===
          jointKey(terms[places[a] as number] as DesignTerm),
      })),
    )
    .filter((pair) => Math.abs(pair.correlation) >= worthNaming && !pair.sameTerm)
    .map(({ sameTerm: _, ...pair }) => pair)
    .sort((a, b) => Math.abs(b.correlation) - Math.abs(a.correlation))
  return { terms: names, matrix, strongest }
}

function correlation(errors: TermErrors, a: number, b: number): number {
  const covariance = errors.covariance(a, b) as number
  const value = covariance / (errors.of[a]!.standardError * errors.of[b]!.standardError)
  return Math.abs(value) < 1e-12 ? 0 : Number(value.toPrecision(12))
}
