import type { DesignEvaluation } from '../contract/results/plan.ts'
import type { DesignTerm } from './design-terms.ts'
import { detectableShift } from './detectable.ts'
import type { TermError, TermErrors } from './error-strata.ts'

/** In which stratum most of an estimate lies. */
export function stratumOf(error: TermError | null): 'run' | 'plateVisit' {
  return error !== null && error.betweenVisits > 0.5 ? 'plateVisit' : 'run'
}

/** The smallest coefficient of each term, in σ of a run, that its t test finds with the given power. */
export function detectableEffects(
  terms: readonly DesignTerm[],
  errors: TermErrors,
  power: number,
): DesignEvaluation['smallestDetectable'] {
  const shifts = new Map<number, number | null>()
  const shiftAt = (df: number) => {
    const digits = Number(df.toPrecision(12))
    if (!shifts.has(digits)) shifts.set(digits, detectableShift(power, digits))
    return shifts.get(digits) ?? null
  }
  return terms.flatMap((term, t) => {
    if (term.parts.length === 0) return []
    const error = errors.of[t] ?? null
    const df = error?.df ?? null
    const shift = df === null ? null : shiftAt(df)
    return [
      {
        term: term.name,
        effect: shift === null || error === null ? null : shift * error.standardError,
        df,
        power,
        stratum: stratumOf(error),
      },
    ]
  })
}
