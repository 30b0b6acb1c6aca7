import { chiSquareQuantile, normalCdf, tQuantile } from './distributions.ts'
import { equivalenceSize } from './shifts.ts'

/** The estimated deviation over the true one is taken at so many places of its distribution. */
const deviations = 2048

/**
 * The chance that two one-sided tests find two groups equal within a margin (Schuirmann, J. Pharmacokinetics and
 * Biopharmaceutics 15, 1987), before a run is made: the interval of the difference, 1 − 2·0.05, has to lie within the
 * margin. Exact up to the integration over the estimated deviation, which is taken at 2048 places.
 *
 * @param options.runs in each of the two groups
 * @param options.deviation of one run, on the log scale
 * @param options.margin the largest ratio less 1 that still counts as equal
 * @param options.ratio the true one; 1 unless given
 * @param options.df of the deviation; those of the two groups unless given
 */
export function equivalencePower(options: {
  runs: number
  deviation: number
  margin: number
  ratio?: number
  df?: number
}): number {
  const { runs, deviation, margin, ratio = 1, df = 2 * runs - 2 } = options
  if (df < 1) return 0
  const error = deviation * Math.sqrt(2 / runs)
  const quantile = tQuantile(1 - equivalenceSize, df)
  const [low, high] = [Math.log(1 - margin), Math.log(1 + margin)]
  const shift = Math.log(ratio)
  let sum = 0
  for (let i = 0; i < deviations; i++) {
    const reach = quantile * Math.sqrt(chiSquareQuantile((i + 0.5) / deviations, df) / df)
    const chance = normalCdf((high - shift) / error - reach) - normalCdf((low - shift) / error + reach)
    sum += Math.max(0, chance)
  }
  return sum / deviations
}

/** The fewest runs of each group that find equal groups equal with the asked chance; null where `most` do not. */
export function runsForEquivalence(options: {
  deviation: number
  margin: number
  power: number
  most?: number
}): number | null {
  const { power, most = 100, ...test } = options
  // The chance rises with the runs: the fewest are found by halving.
  if (equivalencePower({ ...test, runs: most }) < power) return null
  let [low, high] = [1, most]
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (equivalencePower({ ...test, runs: middle }) < power) low = middle
    else high = middle
  }
  return high
}
