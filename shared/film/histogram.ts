/** Counts between neighbouring `edges`: one more edge than counts. */
export type Histogram = { edges: number[]; counts: number[] }

/**
 * How many values lie in each of about √n round classes (1, 2 or 5 times a power of ten wide); a value on an edge
 * counts in the class above it.
 *
 * @returns null where there is no value, or no spread to divide
 */
export function histogram(values: readonly number[]): Histogram | null {
  if (values.length === 0) return null
  const low = values.reduce((a, b) => Math.min(a, b))
  const high = values.reduce((a, b) => Math.max(a, b))
  if (!(high > low)) return null
  const rough = (high - low) / Math.sqrt(values.length)
  const power = 10 ** Math.floor(Math.log10(rough))
  const width = [1, 2, 5, 10].map((times) => times * power).find((size) => size >= rough * 0.999) as number
  const first = Math.floor(low / width)
  const classOf = (value: number) => Math.floor(value / width) - first
  const counts = Array.from({ length: classOf(high) + 1 }, () => 0)
  for (const value of values) counts[classOf(value)] = (counts[classOf(value)] as number) + 1
  const edges = Array.from({ length: counts.length + 1 }, (_, k) =>
    Number(((first + k) * width).toPrecision(12)),
  )
  return { edges, counts }
}
