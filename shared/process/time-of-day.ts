/**
 * Minutes since a time of day, HH:MM on this machine's clock, at most twelve hours back; null where the text is no
 * time of day or lies ahead.
 */
export function minutesSince(text: string, now: Date): number | null {
  const found = /^(\d{1,2}):(\d{2})$/.exec(text.trim())
  if (!found) return null
  const [hour, minute] = [Number(found[1]), Number(found[2])]
  if (hour > 23 || minute > 59) return null
  const since = now.getHours() * 60 + now.getMinutes() - hour * 60 - minute
  // A session may run past midnight.
  const minutes = since < 0 ? since + 24 * 60 : since
  return minutes <= 12 * 60 ? minutes : null
}

/**
 * The moment that a person means: `HH:MM` today (or last night, where that is still to come), `YYYY-MM-DD` at noon, or
 * both with a blank between; null where the text is none of these. On this machine's clock.
 */
export function momentOf(text: string, now: Date): Date | null {
  const found = /^(?:(\d{4})-(\d{2})-(\d{2}))?\s*(?:(\d{1,2}):(\d{2}))?$/.exec(text.trim())
  if (!found || text.trim() === '') return null
  const [year, month, day, hour, minute] = found
    .slice(1)
    .map((part) => (part === undefined ? null : Number(part)))
  if ((hour ?? 0) > 23 || (minute ?? 0) > 59) return null
  if (year === null || year === undefined) {
    const at = new Date(now)
    at.setHours(hour as number, minute as number, 0, 0)
    if (at > now) at.setDate(at.getDate() - 1)
    return at
  }
  const at = new Date(year, (month as number) - 1, day as number, hour ?? 12, minute ?? 0)
  return at.getMonth() === (month as number) - 1 ? at : null
}
