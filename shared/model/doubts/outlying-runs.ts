import { diagnostics } from '../diagnostics.ts'
import { tTwoSided } from '../distributions.ts'
import type { Fitted } from '../fitted.ts'

/** How far a run lies from the other runs' fit. */
export type OutlyingRun = {
  /** Its place in the fit. */
  place: number
  studentized: number
  /** Chance that any run of such a study lies as far out. */
  p: number
  /** What the fit without it says of it, on the model's scale. */
  expected: number
}

/** Below this a run is named; so many studies without a bad run name one all the same. */
export const outlyingSize = 0.05

/**
 * The runs by how far their externally studentized residual stands out, the farthest first: each is Student's t with one degree of freedom less than the
 * fit, and p is Bonferroni's for the largest of n (Cook & Weisberg, Residuals and Influence in Regression, 1982,
 * section 2.2.2; from memory). It is made for one bad run: two that are bad alike hide each other.
 */
export function outlyingRuns(fitted: Fitted): OutlyingRun[] {
  const { runs } = diagnostics(fitted)
  const judged = runs.filter(({ studentized }) => studentized !== null).length
  const df = fitted.solution.df - 1
  return runs
    .flatMap(({ studentized, leverage, residual, fitted: own }, place) => {
      if (studentized === null || df < 1) return []
      const p = Math.min(1, judged * tTwoSided(studentized, df))
      // Left out, the run's residual is e / (1 − h).
      return [{ place, studentized, p, expected: own + residual - residual / (1 - leverage) }]
    })
    .sort((a, b) => Math.abs(b.studentized) - Math.abs(a.studentized))
}
