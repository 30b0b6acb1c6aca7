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
