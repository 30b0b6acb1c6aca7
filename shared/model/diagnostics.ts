import type { Fit } from '../contract/results/fit.ts'
import { leverages } from './factorize.ts'
import type { Fitted } from './fitted.ts'
import { spreadsheetRow } from './frame.ts'

/** What runs are judged by: of a fit that is linear, or of the tangent plane of one that is not. */
export type Judged = Pick<Fitted, 'frame' | 'solution' | 'variance'>

/** A run whose leverage comes this close to 1 decides its own fitted value and leaves nothing to judge it by. */
export const fullLeverage = 1 - 1e-10

/**
 * Fitted values, residuals, leverages, externally studentized (deleted) residuals and Cook's distances, on the
 * model's scale, with the prediction sum of squares Σ w·(r / (1 − h))², null where a run has leverage 1.
 * Belsley, Kuh & Welsch, Regression Diagnostics (1980), chapter 2.
 */
export function diagnostics(fitted: Judged): { runs: Fit['runs']; press: number | null } {
  const { frame, solution, variance } = fitted
  const leverage = leverages(solution.factorization)
  let press: number | null = 0
  const runs = frame.rows.map((row, i) => {
    const h = Math.min(1, leverage[i] as number)
    const scaled = solution.residuals[i] as number
    const residual = scaled / Math.sqrt(frame.weights?.[i] ?? 1)
    const free = h < fullLeverage
    if (press !== null) press = free ? press + (scaled / (1 - h)) ** 2 : null
    return {
      row: spreadsheetRow(row),
      fitted: (frame.response[i] as number) - residual,
      residual,
      leverage: h,
      studentized: free ? studentized(fitted, scaled, h) : null,
      cooksDistance:
        free && variance ? ((scaled * scaled) / (solution.rank * variance)) * (h / (1 - h) ** 2) : null,
    }
  })
  return { runs, press }
}

function studentized({ solution, variance }: Judged, residual: number, h: number): number | null {
  if (solution.df < 2 || !variance) return null
  const without = (solution.residualSumOfSquares - (residual * residual) / (1 - h)) / (solution.df - 1)
  return without > 1e-12 * variance ? residual / Math.sqrt(without * (1 - h)) : null
}
