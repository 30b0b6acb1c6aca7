import { expect, test } from 'vitest'
import { shownResponse } from '../../../shared/charts/format.ts'
import { surfaceSentence } from '../../../shared/model/surface-words.ts'
import { movingTogether } from '../../../shared/model/together.ts'

const surface = {
  x: { name: 'speed', unit: 'rpm', low: 2000, high: 4000 },
  y: { name: 'bake', unit: '°C', low: 90, high: 110 },
  columns: 3,
  rows: 2,
  values: [1900, 1500, 1300, 1880, 1490, 1290],
}
const shown = shownResponse('thickness', 'nm')

test('the surface from its lowest to its highest place, the share in tolerance and the best chance', () => {
  const chances = { ...surface, values: [0, 0.4, 0, 0, 0.93, 0] }
  expect(surfaceSentence(surface, { shown, tolerance: { target: 1500, tolerance: 30 }, chances })).toBe(
    'Over this plane the fit goes from 1290 nm at speed 4000 rpm, bake 110 °C to 1900 nm at speed 2000 rpm, bake 90 °C. ' +
      'In 33 % of it the fitted value is within 1500 ± 30 nm. ' +
      'The chance that a wafer is in tolerance is highest at speed 3000 rpm, bake 110 °C: 93 %.',
  )
  expect(
    surfaceSentence(surface, { shown, tolerance: { target: 900, tolerance: 30 }, chances: null }),
  ).toMatch(/Nowhere in it is the fitted value within 900 ± 30 nm\.$/)
  expect(surfaceSentence(surface, { shown, tolerance: null, chances: null })).toMatch(/bake 90 °C\.$/)
})

test('two factors that move together are named with their correlation, the nearest pair of several', () => {
  const rows = [
    { speed: 1, time: 10, bake: 1, lot: 'A' },
    { speed: 2, time: 20, bake: 3, lot: 'A' },
    { speed: 3, time: 31, bake: 2, lot: 'B' },
    { speed: 4, time: 40, bake: null, lot: 'B' },
  ]
  // By hand: Σ(speed − 2.5)(time − 25.25) = 50.5, Σ(speed − 2.5)² = 5, Σ(time − 25.25)² = 510.75.
  expect(movingTogether(rows, ['speed', 'time', 'bake'])).toEqual({
    first: 'speed',
    second: 'time',
    correlation: expect.closeTo(50.5 / Math.sqrt(5 * 510.75), 12),
  })
  expect(movingTogether(rows, ['speed', 'bake'])).toBeNull()
  expect(movingTogether([{ speed: 1, time: 1 }], ['speed', 'time'])).toBeNull()
})
