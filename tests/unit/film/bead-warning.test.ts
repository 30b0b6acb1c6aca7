import { describe, expect, test } from 'vitest'
import { beadWarning } from '../../../shared/film/bead-warning.ts'
import { usualBead } from '../../../shared/film/edge-bead.ts'
import { siteMap } from '../../../shared/film/site-map.ts'

// What a bead adds at each distance from the edge: common practice, no source.
test.each([
  [6, 0.03, 2],
  [4, 0.3, 1],
  [3, 0.9, 1],
  [2, 2.7, 1],
  [1, 8, 0],
])('at %d mm from the edge a bead usually adds %d %%', (mm, percent, digits) => {
  expect(100 * usualBead(mm)).toBeCloseTo(percent, digits)
})

describe('a map whose outer sites lie in the edge bead', () => {
  const warned = (edgeExclusionMm: number, limit: number | null = null) => {
    const substrate = { diameterMm: 100, edgeExclusionMm }
    const places = siteMap({ ...substrate, name: '9' }).map(({ xMm, yMm }) => ({ x: xMm, y: yMm }))
    return beadWarning(substrate, places, limit)
  }

  test('is warned of from 5 mm inwards on, not at the usual exclusions', () => {
    expect(warned(6)).toBeNull()
    expect(warned(5)).toBeNull()
    expect(warned(4.9)).toContain('4 of 9 sites')
  })

  test('the warning says what was compared with what', () => {
    expect(warned(3, 1)).toBe(
      '4 of 9 sites lie less than 5 mm from the edge, the nearest 3 mm. There an edge bead usually adds 0.89 % to the ' +
        'film (common practice, no source), against a limit of 1 % for the non-uniformity. An edge exclusion of 5 mm ' +
        'keeps clear of it.',
    )
    expect(warned(3)).not.toContain('against')
  })

  test('sites beyond the exclusion, which are left out anyway, do not count', () => {
    expect(beadWarning({ diameterMm: 100, edgeExclusionMm: 6 }, [{ x: 48, y: 0 }], null)).toBeNull()
  })

  test('on a rectangle the nearest side counts', () => {
    const piece = {
      substrateShape: 'rectangle',
      diameterMm: 1,
      widthMm: 60,
      heightMm: 30,
      edgeExclusionMm: 2,
    } as const
    expect(
      beadWarning(
        piece,
        [
          { x: 0, y: 0 },
          { x: 20, y: 11 },
        ],
        null,
      ),
    ).toContain('1 of 2 sites')
    expect(beadWarning(piece, [{ x: 25, y: 10 }], null)).toBeNull()
  })
})
