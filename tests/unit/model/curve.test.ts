import { describe, expect, test } from 'vitest'
import { contour as contourSchema, curve as curveSchema } from '../../../shared/contract/calls/fits.ts'
import { fittedContour } from '../../../shared/model/contour.ts'
import { fittedCurve } from '../../../shared/model/curve.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { fittedTo, someRuns } from './some-runs.ts'

const table = {
  ...someRuns,
  columns: someRuns.columns.map((column) => (column.name === 'speed' ? { ...column, unit: 'rpm' } : column)),
}
const model = fittedTo(table, 'log(thickness) ~ log(speed) + bake + lot')

describe('the fitted curve', () => {
  const answer = fittedCurve(model, {
    factor: 'speed',
    low: 2000,
    high: 4000,
    at: { bake: 100, lot: 'A' },
    points: 5,
  })
  const curve = answer.ok ? answer.value : undefined

  test('runs evenly from low to high and carries its unit', () => {
    expect(curve?.points.map(({ x }) => x)).toEqual([2000, 2500, 3000, 3500, 4000])
    expect(curve).toMatchObject({ factor: 'speed', unit: 'rpm' })
    expect(curveSchema.strict().parse(curve)).toEqual(curve)
  })

  test('is what the model predicts', () => {
    const [at] = model.predict([{ speed: 2500, bake: 100, lot: 'A' }])
    expect(curve?.points[1]).toEqual({
      x: 2500,
      estimate: at?.estimate,
      confidence: at?.confidence,
      prediction: at?.prediction,
    })
  })

  test('leaves out points without a prediction, and is refused where none has one', () => {
    const half = fittedCurve(model, {
      factor: 'speed',
      low: -1000,
      high: 3000,
      at: { bake: 100, lot: 'A' },
      points: 5,
    })
    expect(half.ok && half.value.points.map(({ x }) => x)).toEqual([1000, 2000, 3000])
    const none = fittedCurve(model, { factor: 'speed', low: 2000, high: 3000, at: { bake: 100 } })
    expect(none).toMatchObject({ ok: false, problems: [{ code: 'missingSetting', column: 'lot' }] })
  })
})

describe('the fitted surface', () => {
  const x = { factor: 'speed', low: 2000, high: 4000 }
  const y = { factor: 'bake', low: 90, high: 110 }
  const answer = fittedContour(model, { x, y, at: { lot: 'B' }, columns: 3, rows: 2 })
  const contour = answer.ok ? answer.value : undefined

  test('goes row by row from low y', () => {
    expect(contour).toMatchObject({ columns: 3, rows: 2, x: { name: 'speed', unit: 'rpm' } })
    expect(contourSchema.strict().parse(contour)).toEqual(contour)
    const at = (speed: number, bake: number) =>
      model.predict([{ speed, bake, lot: 'B' }])[0]?.estimate as number
    closeTo(contour?.values[1], at(3000, 90))
    closeTo(contour?.values[3], at(2000, 110))
  })

  test('is refused where a point has no prediction', () => {
    const refused = fittedContour(model, { x: { ...x, low: 0 }, y, at: { lot: 'B' } })
    expect(refused).toMatchObject({ ok: false, problems: [{ code: 'outsideDomain' }] })
  })
})
