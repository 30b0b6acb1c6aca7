/** Something that may have moved every reading from then on. */
export type Break = { words: string /** How many readings were taken before it. */; before: number }

/** Readings from one index up to but without another, between which nothing was noted. */
export type Stretch = { from: number; to: number }

/** Events at one place together: no reading was taken between them, so their changes cannot be told apart. */
export function eventsByPlace(breaks: readonly Break[]): { before: number; words: string[] }[] {
  const places = [...new Set(breaks.map(({ before }) => before))].sort((a, b) => a - b)
  return places.map((before) => ({
    before,
    words: breaks.filter((one) => one.before === before).map(({ words }) => words),
  }))
}

/** The stretches between events, in order; empty ones stay, so that each event stands between two. */
export function stretchesOf(readings: number, breaks: readonly Break[]): Stretch[] {
  const ends = [...eventsByPlace(breaks).map(({ before }) => before), readings]
  return ends.map((to, i) => ({ from: i === 0 ? 0 : (ends[i - 1] as number), to }))
}
