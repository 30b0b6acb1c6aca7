import { chiSquareQuantile, fQuantile } from '../model/distributions.ts'

/** A mean square that is distributed as its expectation times χ²/df. */
export type MeanSquare = { value: number; df: number }
/** A mean square with its coefficient in a variance. */
export type Term = { square: MeanSquare; coefficient: number }

/** Where a variance lies, with its estimate, which may be negative. */
export type VarianceEstimate = {
  estimate: number
  /** Satterthwaite's (Biometrics Bulletin 2, 1946) for more than one mean square; null where the estimate is not above zero. */
  df: number | null
  /** Never below zero. */
  interval: [number, number]
  method: 'chiSquare' | 'modifiedLargeSample'
}

/** The factors by which a standard deviation known with so many degrees of freedom may lie about its estimate. */
export function deviationFactors(df: number, level = 0.95): [number, number] {
  const tail = (1 - level) / 2
  return [Math.sqrt(df / chiSquareQuantile(1 - tail, df)), Math.sqrt(df / chiSquareQuantile(tail, df))]
}

/**
 * A variance that is a sum of mean squares with coefficients, with its two-sided interval.
 *
 * One mean square: exactly, by χ². A sum with coefficients above zero: modified large sample of Graybill & Wang (J. Amer.
 * Statist. Assoc. 75, 1980). One mean square less others: that of Ting, Burdick, Graybill, Jeyaratnam & Lu (J. Statist.
 * Comput. Simul. 35, 1990), without the terms between two that are taken off. Both as in Burdick & Graybill, Confidence
 * Intervals on Variance Components, 1992, sections 3.2 and 3.3 (from memory; the coverage is counted in the tests).
 */
export function varianceEstimate(given: readonly Term[], level = 0.95): VarianceEstimate {
  const terms = given.filter(({ coefficient }) => coefficient !== 0)
  const estimate = terms.reduce((sum, { coefficient, square }) => sum + coefficient * square.value, 0)
  const spread = terms.reduce(
    (sum, { coefficient, square }) => sum + (coefficient * square.value) ** 2 / square.df,
    0,
  )
  const tail = (1 - level) / 2
  const [only] = terms
  if (terms.length === 1 && only && only.coefficient > 0) {
    const { df } = only.square
    const low = (estimate * df) / chiSquareQuantile(1 - tail, df)
    return {
      estimate,
      df: estimate > 0 ? df : null,
      interval: [low, (estimate * df) / chiSquareQuantile(tail, df)],
      method: 'chiSquare',
    }
  }
  const [below, above] = distances(terms, tail)
  return {
    estimate,
    df: estimate > 0 && spread > 0 ? estimate ** 2 / spread : null,
    interval: [Math.max(0, estimate - below), Math.max(0, estimate + above)],
    method: 'modifiedLargeSample',
  }
}

/** How far the interval reaches below and above the estimate. */
function distances(terms: readonly Term[], tail: number): [number, number] {
  const sized = terms.map(({ coefficient, square: { value, df } }) => ({
    size: Math.abs(coefficient) * value,
    positive: coefficient > 0,
    df,
    low: 1 - df / chiSquareQuantile(1 - tail, df),
    high: df / chiSquareQuantile(tail, df) - 1,
  }))
  let below = 0
  let above = 0
  for (const { size, positive, low, high } of sized) {
    below += ((positive ? low : high) * size) ** 2
    above += ((positive ? high : low) * size) ** 2
  }
  for (const plus of sized.filter(({ positive }) => positive))
    for (const minus of sized.filter(({ positive }) => !positive)) {
      const product = plus.size * minus.size
      const top = fQuantile(1 - tail, plus.df, minus.df)
      const bottom = fQuantile(tail, plus.df, minus.df)
      below += (product * ((top - 1) ** 2 - (plus.low * top) ** 2 - minus.high ** 2)) / top
      above += (product * ((1 - bottom) ** 2 - (plus.high * bottom) ** 2 - minus.low ** 2)) / bottom
    }
  return [Math.sqrt(Math.max(0, below)), Math.sqrt(Math.max(0, above))]
}
