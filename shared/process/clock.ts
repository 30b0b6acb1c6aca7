/** Minutes of a day. */
const day = 24 * 60

/**
 * The time of day some minutes after another, as HH:MM; past midnight it says how many days later.
 *
 * @param start HH:MM
 */
export function clockAfter(start: string, minutes: number): string {
  const [hour = 0, minute = 0] = start.split(':').map(Number)
  const all = 60 * hour + minute + Math.round(minutes)
  const two = (n: number) => String(n).padStart(2, '0')
  const later = Math.floor(all / day)
  const time = `${two(Math.floor((all % day) / 60))}:${two(all % 60)}`
  return later === 0 ? time : `${time} (${later === 1 ? 'next day' : `${later} days later`})`
}
