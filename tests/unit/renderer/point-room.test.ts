import fc from 'fast-check'
import { expect, test } from 'vitest'
import { onePoint, pointRoom, pointRoomInDigits } from '../../../renderer/point-room.ts'

const space = (count: number) => '\u00a0'.repeat(count)

test('numbers with fewer decimals leave room for the point and the digits that they lack', () => {
  expect(onePoint([2.5, 3, 12.25])).toEqual([`2.5${space(2)}`, `3${space(5)}`, '12.25'])
  expect(onePoint([1, 20])).toEqual(['1', '20'])
  expect(onePoint(['A', 2.5, null, undefined])).toEqual(['A', '2.5', '–', '–'])
  expect(pointRoom('1509', 1)).toBe(space(3))
  expect(pointRoom('1509.', 1)).toBe(space(2))
  expect(pointRoom('1509,62', 1)).toBe('')
  expect(pointRoom('1.5 µm', 1)).toBe('')
  expect(pointRoomInDigits('1509', 1)).toBe(1.5)
  expect(pointRoomInDigits('', 1)).toBe(0)
})

test('behind the point of each number of a column stands the same width', () => {
  const column = fc.array(
    fc
      .tuple(fc.integer({ min: -9999, max: 9999 }), fc.integer({ min: 0, max: 3 }))
      .map(([n, k]) => n / 10 ** k),
    { minLength: 1 },
  )
  fc.assert(
    fc.property(column, (values) => {
      const widths = onePoint(values).map((text) =>
        [...text.replace(/^[\u2212-]?\d+/, '')].reduce((sum, sign) => sum + (/\d/.test(sign) ? 2 : 1), 0),
      )
      expect(new Set(widths).size).toBe(1)
      expect(onePoint(values).map((text) => Number(text.replace('\u2212', '-')))).toEqual(
        values.map((v) => v || 0),
      )
    }),
  )
})
