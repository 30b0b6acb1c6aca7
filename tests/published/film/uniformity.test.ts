import { describe, expect, test } from 'vitest'
import { summarizeFilm } from '../../../shared/film/summarize.ts'

/**
 * Definitions in use: half-range and range forms as listed on the public MEMS mailing list (mems-talk, 2009,
 * messages 22023 and 22028), s over the mean after SEMI MF1618 as cited there. Expected values computed
 * independently in exact arithmetic.
 */
const summary = summarizeFilm({
  id: 'five sites',
  readings: [1012.4, 1008.9, 1015.2, 1003.7, 1010.1].map((value, i) => ({
    row: i + 2,
    x: null,
    y: null,
    value,
  })),
  diameterMm: 100,
  edgeExclusionMm: 6,
})

describe('five sites worked by hand', () => {
  test('mean and standard deviation', () => {
    expect(summary.mean).toBeCloseTo(1010.06, 10)
    expect(summary.standardDeviation).toBeCloseTo(4.292202231955056, 10)
  })

  test.each([
    ['halfRangeOverMean', 0.569273112488367],
    ['halfRangeOverMidRange', 0.569617118232701],
    ['rangeOverMean', 1.138546224976734],
    // The two over the maximum from the definition: 11.5 over 2 × 1015.2 and over 1015.2.
    ['halfRangeOverMaximum', (100 * 11.5) / 2030.4],
    ['rangeOverMaximum', (100 * 11.5) / 1015.2],
    ['standardDeviationOfAllOverMean', (100 * 3.8390623855311294) / 1010.06],
    ['standardDeviationOverMean', 0.4249452737416644],
    ['threeStandardDeviationsOverMean', 1.274835821224993],
  ] as const)('%s is %d %%', (formula, percent) => {
    expect(summary.nonUniformity[formula]).toBeCloseTo(percent, 10)
  })

  test('the type A uncertainty of a mean of independent readings is s/√n (JCGM 100:2008, 4.2.3)', () => {
    expect(summary.standardUncertainty).toBeCloseTo(4.292202231955056 / Math.sqrt(5), 10)
  })
})

/** JCGM 100:2008, example H.2: five readings of a voltage, their mean and the standard deviation of that mean. */
test('voltage readings of the GUM', () => {
  const voltage = summarizeFilm({
    id: 'H.2',
    readings: [5.007, 4.994, 5.005, 4.99, 4.999].map((value, i) => ({ row: i + 2, x: null, y: null, value })),
    diameterMm: 100,
    edgeExclusionMm: 6,
  })
  expect(voltage.mean).toBeCloseTo(4.999, 12)
  expect(voltage.standardUncertainty).toBeCloseTo(0.00320936, 8)
})
