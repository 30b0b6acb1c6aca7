import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { asRectangle, placeWindow, type Rectangle } from '../../../electron/desktop/place.ts'

const main: Rectangle = { x: 0, y: 0, width: 1920, height: 1040 }
const left: Rectangle = { x: -1280, y: 0, width: 1280, height: 1000 }

describe('where the window opens', () => {
  test('the first time in the middle of the main display', () => {
    expect(placeWindow(null, [main, left])).toEqual({ x: 280, y: 90, width: 1360, height: 860 })
  })

  test('where it was, also on a second display', () => {
    const there = { x: -1200, y: 50, width: 1000, height: 700 }
    expect(placeWindow(there, [main, left])).toEqual(there)
  })

  test('back on the main display where its own has gone', () => {
    const { x, y } = placeWindow({ x: -1200, y: 50, width: 1000, height: 700 }, [main])
    expect({ x, y }).toEqual({ x: 460, y: 170 })
  })

  test('back where only its lower half would show, since it could not be taken hold of', () => {
    expect(placeWindow({ x: 100, y: -300, width: 1000, height: 700 }, [main]).y).toBe(170)
  })

  test('never larger than its display', () => {
    expect(placeWindow({ x: 0, y: 0, width: 5000, height: 4000 }, [main])).toEqual(main)
  })

  test('wherever it was, enough of its upper edge is on a display', () => {
    const rectangle = fc.record({
      x: fc.integer({ min: -5000, max: 5000 }),
      y: fc.integer({ min: -5000, max: 5000 }),
      width: fc.integer({ min: 1, max: 6000 }),
      height: fc.integer({ min: 1, max: 6000 }),
    })
    fc.assert(
      fc.property(rectangle, (remembered) => {
        const placed = placeWindow(remembered, [main, left])
        const grip = [main, left].some(
          (display) =>
            Math.min(placed.x + placed.width, display.x + display.width) - Math.max(placed.x, display.x) >=
              120 &&
            placed.y >= display.y &&
            placed.y + 40 <= display.y + display.height,
        )
        expect(grip).toBe(true)
      }),
    )
  })
})

test('what was kept is only taken for a rectangle if it is one', () => {
  expect(asRectangle({ x: 1, y: 2, width: 3, height: 4, more: 5 })).toEqual({
    x: 1,
    y: 2,
    width: 3,
    height: 4,
  })
  for (const damaged of [null, 7, 'x', {}, { x: 1, y: 2, width: '3', height: 4 }, { x: 1, y: 2, width: 3 }]) {
    expect(asRectangle(damaged)).toBeNull()
  }
})
