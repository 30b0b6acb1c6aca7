/** The smallest of the values, +∞ of none. One by one: a long column is too many arguments for one call. */
export const smallest = (values: Iterable<number>): number => {
  let least = Number.POSITIVE_INFINITY
  for (const value of values) least = Math.min(least, value)
  return least
}

/** The largest of the values, −∞ of none. */
export const largest = (values: Iterable<number>): number => {
  let most = Number.NEGATIVE_INFINITY
  for (const value of values) most = Math.max(most, value)
  return most
}
