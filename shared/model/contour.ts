import type { z } from 'zod'
import type { contour } from '../contract/calls/fits.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good } from '../problem.ts'
import type { AnyFit } from './fit.ts'

export type Contour = z.infer<typeof contour>

/** A factor that is an axis of the surface. */
export type Axis = { factor: string; low: number; high: number }

/**
 * The fitted surface over two factors on an even grid, row by row from low y, estimates in the response's unit.
 *
 * @param options.at the other factors' settings
 * @param options.columns,options.rows grid points along x and y; 41 unless given
 * @returns problems where the model has no prediction at some point of the grid
 */
export function fittedContour(
  model: AnyFit,
  options: { x: Axis; y: Axis; at: Settings; columns?: number; rows?: number },
): Answer<Contour> {
  const { x, y, at, columns = 41, rows = 41 } = options
  const along = ({ low, high }: Axis, i: number, count: number) => low + ((high - low) * i) / (count - 1)
  const settings = Array.from({ length: rows * columns }, (_, i) => ({
    ...at,
    [x.factor]: along(x, i % columns, columns),
    [y.factor]: along(y, Math.floor(i / columns), rows),
  }))
  const predictions = model.predict(settings, { widest: true })
  if (predictions.length < settings.length)
    return { ok: false, problems: model.cannotPredict(settings).slice(0, 1) }
  const axis = ({ factor, low, high }: Axis) => ({ name: factor, unit: model.unitOf(factor), low, high })
  return good({
    x: axis(x),
    y: axis(y),
    columns,
    rows,
    values: predictions.map((prediction) => prediction.estimate),
  })
}
