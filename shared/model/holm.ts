/**
 * Chances of several tests as if each had been the only one, by Holm's steps (Scandinavian Journal of Statistics 6,
 * 1979, 65–70): the smallest times their number, the next times one less, and none smaller than the one before it.
 */
export function holm(p: readonly number[]): number[] {
  const order = p.map((_, i) => i).sort((a, b) => (p[a] as number) - (p[b] as number))
  const adjusted = p.slice()
  let least = 0
  order.forEach((at, i) => {
    least = Math.min(1, Math.max(least, (p[at] as number) * (p.length - i)))
    adjusted[at] = least
  })
  return adjusted
}
