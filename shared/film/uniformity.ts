import type { NonUniformity } from '../contract/results.ts'

const percent = (part: number, of: number) => (of === 0 ? null : (100 * part) / of)

/**
 * Non-uniformity of readings by every formula in use, in percent. The same substrate gives numbers that
 * differ threefold, so each must be shown with its formula; the range forms also grow with the number of
 * sites. Null with fewer than two readings.
 *
 * @param standardDeviation with n − 1, in the unit of the values
 */
export function nonUniformity(
  values: readonly number[],
  mean: number | null,
  standardDeviation: number | null,
): NonUniformity {
  if (values.length < 2 || mean === null || standardDeviation === null)
    return {
      halfRangeOverMean: null,
      halfRangeOverMidRange: null,
      rangeOverMean: null,
      standardDeviationOverMean: null,
      threeStandardDeviationsOverMean: null,
    }
  const highest = Math.max(...values)
  const lowest = Math.min(...values)
  const range = highest - lowest
  return {
    halfRangeOverMean: percent(range / 2, mean),
    halfRangeOverMidRange: percent(range, highest + lowest),
    rangeOverMean: percent(range, mean),
    standardDeviationOverMean: percent(standardDeviation, mean),
    threeStandardDeviationsOverMean: percent(3 * standardDeviation, mean),
  }
}
