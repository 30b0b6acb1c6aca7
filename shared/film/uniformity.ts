import type { NonUniformity } from '../contract/results/film.ts'

const percent = (part: number, of: number) => (of === 0 ? null : (100 * part) / of)

/**
 * Non-uniformity of readings by every formula in use, in percent. The same substrate gives numbers that
 * differ threefold, so each must be shown with its formula; the range forms also grow with the number of
 * sites. Null with fewer than two readings.
 *
 * @param standardDeviation with n − 1, in the unit of the values
 */
export function nonUniformityOf(
  values: readonly number[],
  mean: number | null,
  standardDeviation: number | null,
): NonUniformity {
  if (values.length < 2 || mean === null || standardDeviation === null)
    return {
      halfRangeOverMean: null,
      halfRangeOverMidRange: null,
      rangeOverMean: null,
      halfRangeOverMaximum: null,
      rangeOverMaximum: null,
      standardDeviationOverMean: null,
      threeStandardDeviationsOverMean: null,
      standardDeviationOfAllOverMean: null,
    }
  const highest = values.reduce((a, b) => Math.max(a, b))
  const lowest = values.reduce((a, b) => Math.min(a, b))
  const range = highest - lowest
  return {
    halfRangeOverMean: percent(range / 2, mean),
    halfRangeOverMidRange: percent(range, highest + lowest),
    rangeOverMean: percent(range, mean),
    halfRangeOverMaximum: percent(range / 2, highest),
    rangeOverMaximum: percent(range, highest),
    standardDeviationOverMean: percent(standardDeviation, mean),
    threeStandardDeviationsOverMean: percent(3 * standardDeviation, mean),
    standardDeviationOfAllOverMean: percent(
      standardDeviation * Math.sqrt((values.length - 1) / values.length),
      mean,
    ),
  }
}
