import type { Run, Study } from '../contract/things.ts'

/**
 * What is left of today's slot, minutes: the hours booked less coating and reading of the wafers coated today. Null
 * where nothing is booked.
 *
 * @param today YYYY-MM-DD where the clock is
 * @param dayOf the day there of a moment
 */
export function minutesLeft(options: {
  study: Pick<Study, 'slotHours' | 'coatMinutes' | 'readMinutes'>
  runs: readonly Pick<Run, 'coatedAt'>[]
  today: string
  dayOf(moment: string): string
}): number | null {
  const { study, runs, today, dayOf } = options
  if (study.slotHours === null) return null
  const made = runs.filter(({ coatedAt }) => coatedAt !== null && dayOf(coatedAt) === today).length
  return Math.max(0, Math.round(60 * study.slotHours - made * (study.coatMinutes + study.readMinutes)))
}
