/** Round levels (1, 2 or 5 times a power of ten apart) strictly between the ends, about `count` of them. */
export function roundLevels(low: number, high: number, count = 9): number[] {
  if (!(high > low) || !Number.isFinite(high - low)) return []
  const rough = (high - low) / count
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = [1, 2, 5, 10].map((times) => times * power).find((size) => size >= rough * 0.999)!
  const first = Math.floor(low / step) + 1
  const levels: number[] = []
  for (let k = first; k * step < high; k++) levels.push(Number((k * step).toPrecision(12)))
  return levels
}
