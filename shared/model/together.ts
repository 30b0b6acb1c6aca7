/** Two columns whose settings rise and fall together over the runs. */
export type Together = { first: string; second: string; correlation: number }

/** From here on the runs hardly tell which of two factors did it: nine tenths of what one varies goes with the other (common practice, no source). */
const tooMuch = 0.95

/** The pair of numeric columns that moves together most, where it does so too much to be told apart; else null. */
export function movingTogether(
  rows: readonly Record<string, number | string | null>[],
  columns: readonly string[],
): Together | null {
  const pairs = columns.flatMap((first, i) =>
    columns.slice(i + 1).flatMap((second): Together[] => {
      const correlation = correlationOf(rows, first, second)
      return correlation !== null && Math.abs(correlation) >= tooMuch ? [{ first, second, correlation }] : []
    }),
  )
  const size = ({ correlation }: Together) => Math.abs(correlation)
  return pairs.reduce<Together | null>(
    (most, pair) => (most === null || size(pair) > size(most) ? pair : most),
    null,
  )
}

/** Pearson's correlation of two columns over the runs that have both; null where one of them does not vary. */
function correlationOf(
  rows: readonly Record<string, number | string | null>[],
  first: string,
  second: string,
): number | null {
  const pairs = rows.flatMap((row) => {
    const [a, b] = [row[first], row[second]]
    return typeof a === 'number' && typeof b === 'number' ? [[a, b] as const] : []
  })
  const mean = (k: 0 | 1) => pairs.reduce((sum, pair) => sum + pair[k], 0) / pairs.length
  const [meanA, meanB] = [mean(0), mean(1)]
  let [ab, aa, bb] = [0, 0, 0]
  for (const [a, b] of pairs) {
    ab += (a - meanA) * (b - meanB)
    aa += (a - meanA) ** 2
    bb += (b - meanB) ** 2
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : null
}
