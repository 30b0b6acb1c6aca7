import { expect, test } from 'vitest'
import { compareWays, errorOf, inLines } from '../unit/next/wafers-needed.ts'

const times = 200

/** Standard error of the difference of two shares. */
const apart = (...shares: Parameters<typeof errorOf>[0][]) => Math.hypot(...shares.map(errorOf))

// Counted, 200 studies each, wafers as median (nine in ten), wrong of those confirmed, good on later days:
//                            own                              by hand                          grid
//   ± 2 %, 3 days of 1        6 (6), 0 wrong, 98.2 %           5 (6), 1 wrong, 96.1 %           9 (9), 0 wrong, 97.7 %
//   ± 2 %, 3 days of 2        9 (9), 0 wrong, 98.3 %           8 (11), 0 wrong, 97.0 %          12 (12), 0 wrong, 97.9 %
//   ± 1 %, 3 days of 1        7 (11), 0 wrong, 82.0 %          7 (12), 5 wrong, 80.0 %          10 (16), 3 wrong, 80.6 %
//   ± 2 % and even            8 (11), 0 wrong, 95.4 %          7 (–), 1 wrong, 76.1 %           18 (20), 0 wrong, 94.3 %
//   ± 1 % and even            10 (15), 2 wrong, 80.7 %         11 (–), 4 wrong, 63.7 %          20 (25), 3 wrong, 78.0 %
// Own confirmed all in a cassette; by hand 78 ± 3 % and 70 ± 3 % of the even ones, else all; the grid 99 % and 93 ± 2 %.
// For the thickness alone to ± 2 % the way by hand takes a wafer fewer: a fit that knows its error needs three.
test.each([
  { tolerance: 30, aDay: 1 },
  { tolerance: 30, aDay: 2 },
  { tolerance: 15, aDay: 1 },
])(
  'to 1500 ± $tolerance nm by the speed alone, $aDay a day: at most a wafer more than by hand, and not one in twenty wrong',
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
