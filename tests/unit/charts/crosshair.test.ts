import { describe, expect, test } from 'vitest'
import type { Stop } from '../../../shared/charts/chart.ts'
import { nearestStop, stopTowards } from '../../../shared/charts/crosshair.ts'

const grid: Stop[] = [0, 10, 20].flatMap((x) => [0, 10, 20].map((y) => ({ x, y, words: `${x}/${y}` })))
// On the screen y runs downwards.
const place = (stop: Stop) => ({ x: stop.x, y: stop.y === undefined ? null : 100 - stop.y })

describe('the crosshair', () => {
  test('stops at the nearest place in both directions', () => {
    const at = nearestStop(grid, { spot: { x: 12, y: 81 }, place, along: 'both' })
    expect(grid[at]!.words).toBe('10/20')
  })

  test('along x the height does not matter', () => {
    const line: Stop[] = [0, 5, 9].map((x) => ({ x, y: x * 1000, words: '' }))
    expect(nearestStop(line, { spot: { x: 6, y: 0 }, place, along: 'x' })).toBe(1)
  })

  test('there is nowhere to stop without stops', () => {
    expect(nearestStop([], { spot: { x: 0, y: 0 }, place, along: 'x' })).toBe(-1)
    expect(stopTowards([], { from: -1, direction: 'right', place, along: 'x' })).toBe(-1)
  })

  test('arrows lead to the neighbour that way and stay at the border', () => {
    const from = grid.findIndex((stop) => stop.words === '10/10')
    const words = (direction: 'left' | 'right' | 'up' | 'down') =>
      grid[stopTowards(grid, { from, direction, place, along: 'both' })]!.words
    expect([words('left'), words('right'), words('up'), words('down')]).toEqual([
      '0/10',
      '20/10',
      '10/20',
      '10/0',
    ])
    const corner = grid.findIndex((stop) => stop.words === '20/20')
    expect(stopTowards(grid, { from: corner, direction: 'up', place, along: 'both' })).toBe(corner)
  })

  test('along x the right arrow goes to the next and never past the last', () => {
    const line: Stop[] = [0, 5].map((x) => ({ x, words: '' }))
    expect(stopTowards(line, { from: 0, direction: 'right', place, along: 'x' })).toBe(1)
    expect(stopTowards(line, { from: 1, direction: 'right', place, along: 'x' })).toBe(1)
  })
})
