import { describe, expect, test } from 'vitest'
import { contourBands, type Surface } from '../../../shared/charts/contour-bands.ts'
import { roundLevels } from '../../../shared/charts/round-levels.ts'

/** A plane over speed and bake that rises by 1 across speed and by 2 across bake. */
function plane(columns: number, rows: number): Surface {
  const values = Array.from({ length: columns * rows }, (_, at) => {
    const i = at % columns
    const j = Math.floor(at / columns)
    return i / (columns - 1) + (2 * j) / (rows - 1)
  })
  return {
    x: { name: 'speed', unit: 'rpm', low: 2000, high: 4000 },
    y: { name: 'bake', unit: '°C', low: 90, high: 110 },
    columns,
    rows,
    values,
  }
}

describe('contours of a surface', () => {
  test('the line of a level lies where the plane has that value, in factor units', () => {
    const [band] = contourBands(plane(21, 11), [1.5])
    const inner = band!.polygons.flat(2).filter(([x, y]) => x > 2000 && x < 4000 && y > 90 && y < 110)
    expect(inner.length).toBeGreaterThan(10)
    for (const [x, y] of inner) expect((x - 2000) / 2000 + (2 * (y - 90)) / 20).toBeCloseTo(1.5, 9)
  })

  test('a sample at the edge of the grid stands at the edge of the region, not half a cell inside', () => {
    const [band] = contourBands(plane(5, 5), [-1])
    const xs = band!.polygons.flat(2).map(([x]) => x)
    // Half a cell of 500 rpm beyond either end.
    expect(Math.min(...xs)).toBeCloseTo(1750, 9)
    expect(Math.max(...xs)).toBeCloseTo(4250, 9)
  })

  test('a level that the surface never reaches has no polygons', () => {
    expect(contourBands(plane(5, 5), [99])[0]!.polygons).toEqual([])
  })
})

describe('round levels', () => {
  test('lie strictly between the ends, 1, 2 or 5 times a power of ten apart', () => {
    expect(roundLevels(1260, 1950, 7)).toEqual([1300, 1400, 1500, 1600, 1700, 1800, 1900])
    expect(roundLevels(0, 1, 5)).toEqual([0.2, 0.4, 0.6, 0.8])
    expect(roundLevels(-0.5, 0.5, 5)).toEqual([-0.4, -0.2, 0, 0.2, 0.4])
  })

  test('there are none where all values are alike', () => {
    expect(roundLevels(5, 5)).toEqual([])
    expect(roundLevels(Number.NaN, 5)).toEqual([])
  })
})
