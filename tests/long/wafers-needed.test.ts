import { expect, test } from 'vitest'
import { compareWays, errorOf, inLines } from '../unit/next/wafers-needed.ts'

const times = 200

/** Standard error of the difference of two shares. */
const apart = (...shares: Parameters<typeof errorOf>[0][]) => Math.hypot(...shares.map(errorOf))

// For the thickness alone the way by hand takes a wafer fewer where the tolerance is wide, and is wrong more often.
test.each([
  { tolerance: 30, aDay: 1 },
  { tolerance: 30, aDay: 2 },
  { tolerance: 15, aDay: 1 },
])(
  'to 1500 ± $tolerance nm by the speed alone, $aDay a day: as few wafers as by hand, and none in twenty wrong',
  ({ tolerance, aDay }) => {
    const found = compareWays({ question: 'thickness', tolerance, aDay, times })
    console.log([`± ${tolerance} nm, 3 days of ${aDay}`, ...inLines(found)].join('\n'))
    const { own, ratio, grid } = found
    expect(own.confirmed.share! - ratio.confirmed.share!).toBeGreaterThan(
      -3 * apart(own.confirmed, ratio.confirmed) - 0.01,
    )
    expect(own.median).toBeLessThanOrEqual(ratio.median + 1)
    expect(own.median).toBeLessThan(grid.median)
    expect(own.wrong.lower!).toBeLessThan(0.05)
    expect(own.wrong.share! - ratio.wrong.share!).toBeLessThan(3 * apart(own.wrong, ratio.wrong) + 0.01)
    expect(own.yield).toBeGreaterThan(ratio.yield - 0.02)
  },
)

test.each([{ tolerance: 30 }, { tolerance: 15 }])(
  'to an even film of 1500 ± $tolerance nm: confirmed more often than by hand, with half the wafers of a grid',
  ({ tolerance }) => {
    const found = compareWays({ question: 'evenness', tolerance, aDay: 1, times })
    console.log([`even, ± ${tolerance} nm, 3 days of 1`, ...inLines(found)].join('\n'))
    const { own, ratio, grid } = found
    expect(own.confirmed.share! - ratio.confirmed.share!).toBeGreaterThan(
      3 * apart(own.confirmed, ratio.confirmed),
    )
    expect(own.median).toBeLessThan(0.7 * grid.median)
    expect(own.wrong.lower!).toBeLessThan(0.05)
    expect(own.yield).toBeGreaterThan(ratio.yield)
  },
)
