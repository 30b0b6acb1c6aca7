import type { NonUniformity } from '../contract/results/film.ts'

const percent = (part: number, of: number) => (of === 0 ? null : (100 * part) / of)

/** What the formulas are made of: `standardDeviation` with n − 1, in the unit of the values. */
type Extent = { mean: number; lowest: number; highest: number; standardDeviation: number; n: number }

/** The formulas of non-uniformity in use, in percent. */
export const nonUniformityFormulas: Record<keyof NonUniformity, (film: Extent) => number | null> = {
  halfRangeOverMean: ({ highest, lowest, mean }) => percent((highest - lowest) / 2, mean),
  halfRangeOverMidRange: ({ highest, lowest }) => percent(highest - lowest, highest + lowest),
  rangeOverMean: ({ highest, lowest, mean }) => percent(highest - lowest, mean),
  halfRangeOverMaximum: ({ highest, lowest }) => percent((highest - lowest) / 2, highest),
  rangeOverMaximum: ({ highest, lowest }) => percent(highest - lowest, highest),
  standardDeviationOverMean: ({ standardDeviation, mean }) => percent(standardDeviation, mean),
  threeStandardDeviationsOverMean: ({ standardDeviation, mean }) => percent(3 * standardDeviation, mean),
  standardDeviationOfAllOverMean: ({ standardDeviation, mean, n }) =>
    percent(standardDeviation * Math.sqrt((n - 1) / n), mean),
}

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
  const film =
    values.length < 2 || mean === null || standardDeviation === null
      ? null
      : {
          mean,
          standardDeviation,
          n: values.length,
          highest: values.reduce((a, b) => Math.max(a, b)),
          lowest: values.reduce((a, b) => Math.min(a, b)),
        }
  return Object.fromEntries(
    Object.entries(nonUniformityFormulas).map(([name, of]) => [name, film && of(film)]),
  ) as NonUniformity
}
