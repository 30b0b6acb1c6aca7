import type { z } from 'zod'
import type { curve } from '../contract/calls/fits.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good } from '../problem.ts'
import type { AnyFit } from './fit.ts'

export type Curve = z.infer<typeof curve>

/**
 * The fitted curve over one factor with its confidence and prediction bands, in the response's unit. Points
 * where no prediction can be given (log of 0) are left out. Where the fit tells sessions apart, the bands are those of
 * another session, which are what a coming day will show.
 *
 * @param options.at the other factors' settings
 * @param options.points number of points, evenly spaced from `low` to `high`; 101 unless given
 * @returns the problems of the first point where none of them can be predicted
 */
export function fittedCurve(
  model: AnyFit,
  options: { factor: string; low: number; high: number; at: Settings; points?: number; level?: number },
): Answer<Curve> {
  const { factor, low, high, at, points = 101, level = model.level } = options
  const settings = Array.from({ length: points }, (_, i) => ({
    ...at,
    [factor]: low + ((high - low) * i) / Math.max(1, points - 1),
  }))
  const predictions = model.predict(settings, { level, widest: true })
  if (predictions.length === 0) return { ok: false, problems: model.cannotPredict(settings.slice(0, 1)) }
  return good({
    factor,
    unit: model.unitOf(factor),
    scope: predictions[0]?.scope ?? 'sameSession',
    points: predictions.map(({ at: where, estimate, confidence, prediction }) => ({
      x: where[factor] as number,
      estimate,
      confidence,
      prediction,
    })),
  })
}
