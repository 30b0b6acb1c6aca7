/** The mean; NaN of no values. */
export const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length

/** The sum of squares about a value. */
export const squaresAbout = (middle: number, values: readonly number[]): number =>
  values.reduce((sum, value) => sum + (value - middle) ** 2, 0)
