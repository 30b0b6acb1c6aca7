import type { Finding } from '../contract/results/check.ts'
import type { CheckInput } from './check-program.ts'
import { outside, warning } from './findings.ts'
import { shown } from './shown.ts'

/** Dummies that the bowl needs after it was cleaned, and openings of a bottle (common practice, no source). */
const usualDummies = 2
const usualOpenings = 20

/** The bottle that a session pours from, at a moment. */
export type BottleAtHand = {
  name: string
  /** Last good day and today, as YYYY-MM-DD; null while unknown. */
  expires: string | null
  today: string
  openings: number
  /** Since it was taken out of the fridge; null while unknown. */
  minutesOut: number | null
  /** Whether it is still to be poured from: what is done needs no warming up. */
  waits: boolean
  /** What is left in it, mL, null while unknown; and what one coat takes. */
  restMl: number | null
  coatMl: number
}

/** How long the plate has been at its setting against the time that it takes to settle. */
export function settleFindings({ minutesSinceSet, hotPlate }: CheckInput): Finding[] {
  if (minutesSinceSet == null || hotPlate?.soak === undefined || minutesSinceSet >= hotPlate.soak) return []
  return [
    warning({
      code: 'settle',
      value: minutesSinceSet,
      limit: hotPlate.soak,
      limitConfirmed: hotPlate.limitsConfirmed,
      message:
        `The plate was set ${shown(minutesSinceSet)} min before, less than the ${shown(hotPlate.soak)} min that it ` +
        'takes to settle. Read the plate before coating.',
    }),
  ]
}

/** Substrates after which a clean bowl has settled: those that the study plans, at least the usual ones. */
export const dummiesNeeded = (planned: number | null | undefined): number =>
  Math.max(planned ?? 0, usualDummies)

/** The first substrates after the bowl was cleaned differ: dummies take their place. */
export function bowlFindings({ dummies, waferSinceClean }: CheckInput): Finding[] {
  const limit = dummiesNeeded(dummies)
  const place = { code: 'bowl', limit, limitConfirmed: (dummies ?? 0) >= usualDummies } as const
  if (waferSinceClean != null) {
    const before = waferSinceClean - 1
    if (before >= limit) return []
    return [
      warning({
        ...place,
        value: before,
        message: `${counted(before)} since the bowl was cleaned, fewer than ${limit}: first films after a clean bowl differ.`,
      }),
    ]
  }
  if (dummies == null || dummies >= usualDummies) return []
  return [
    warning({
      ...place,
      value: dummies,
      message: `The study plans ${dummies} dummies, fewer than ${limit}: first films after a clean bowl differ.`,
    }),
  ]
}

const counted = (before: number) =>
  before === 1 ? '1 substrate was coated' : `${before === 0 ? 'No' : before} substrates were coated`

/** Expiry, warming up and openings of the bottle. */
export function bottleFindings({ bottle, resist }: CheckInput): Finding[] {
  if (!bottle) return []
  const { name, expires, today, openings, minutesOut, restMl, coatMl } = bottle
  const findings: Finding[] = []
  const past = expires === null ? 0 : days(today) - days(expires)
  if (past > 0)
    findings.push(
      outside({
        code: 'bottle',
        value: past,
        limit: 0,
        limitConfirmed: true,
        message: `Bottle ${name} expired on ${expires}, ${past} ${past === 1 ? 'day' : 'days'} ago`,
      }),
    )
  const warmUp = resist?.warmUpMinutes ?? null
  if (warmUp !== null && minutesOut !== null && minutesOut < warmUp)
    findings.push(
      outside({
        code: 'bottle',
        value: minutesOut,
        limit: warmUp,
        limitConfirmed: true,
        message:
          `Bottle ${name} has been out of the fridge for ${shown(Math.floor(minutesOut))} min, less than the ` +
          `${shown(warmUp)} min that it takes to warm up unopened`,
      }),
    )
  const most = resist?.openings ?? usualOpenings
  if (openings > most)
    findings.push(
      warning({
        code: 'bottle',
        value: openings,
        limit: most,
        limitConfirmed: resist?.openings != null,
        message: `Bottle ${name} has been opened ${openings} times, more than ${most}: solvent lost makes films thicker.`,
      }),
    )
  if (restMl !== null && restMl < coatMl)
    findings.push(
      warning({
        code: 'bottle',
        value: restMl,
        limit: coatMl,
        limitConfirmed: true,
        message: `Bottle ${name} holds ${shown(restMl)} mL by what was poured from it, less than the ${shown(coatMl)} mL of a coat.`,
      }),
    )
  return findings
}

const days = (day: string) => Math.round(Date.parse(`${day}T00:00:00Z`) / 86_400_000)
