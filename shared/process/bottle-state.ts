import type { BottleEvent, BottleInput, BottleState } from '../contract/materials.ts'
import { tidy } from './budget.ts'

/** What one session took from a bottle: its coats, of which the dummies, and the purge of its line. Volumes in mL. */
export type Pour = {
  sessionId: string
  /** YYYY-MM-DD, or what else was typed. */
  day: string
  /** Runs that were coated. */
  coats: number
  /** Coated before the first run, where there is one. */
  dummies: number
  coatMl: number
  purgeMl: number
}

/** An event with its day on this machine's calendar. */
type Noted = Pick<BottleEvent, 'kind' | 'at' | 'sessionId' | 'ml'> & { day: string }

/**
 * What has become of a bottle. A session that coats from it opens it once, or as often as was noted within it; what its
 * coats, dummies and purge take leaves the bottle, and what was noted as poured besides. The day on which it was first
 * opened, as written on it, is an opening too unless an opening on that day or before it is counted already.
 *
 * @param options.at the session that is asked about: later days do not count
 */
export function bottleState(options: {
  bottle: Pick<BottleInput, 'sizeMl' | 'openedFirst'>
  events: readonly Noted[]
  pours: readonly Pour[]
  at?: { sessionId: string; day: string } | undefined
}): BottleState {
  const { bottle, events, pours, at } = options
  const own = (sessionId: string | null) => sessionId !== null && sessionId === at?.sessionId
  const before = (day: string) => !isDay(at?.day) || !isDay(day) || day <= (at?.day as string)
  const opened = events.filter(({ kind }) => kind === 'opened')
  const noted = (sessionId: string) => opened.filter((event) => event.sessionId === sessionId).length
  const sessions = pours.filter(
    ({ sessionId, day, coats }) => (own(sessionId) || before(day)) && (coats > 0 || noted(sessionId) > 0),
  )
  const inSessions = new Set(pours.map(({ sessionId }) => sessionId))
  const elsewhere = opened.filter(
    ({ sessionId, day }) => (sessionId === null || !inSessions.has(sessionId)) && before(day),
  )
  const first = bottle.openedFirst
  const firstIsCounted = [...sessions, ...elsewhere].some(({ day }) => isDay(day) && day <= first)
  const written = first !== '' && before(first) && !(isDay(first) && firstIsCounted) ? 1 : 0
  const taken =
    pours.reduce((sum, pour) => sum + mlOf(pour), 0) +
    events.reduce((sum, { kind, ml }) => sum + (kind === 'poured' ? (ml ?? 0) : 0), 0)
  const empty = events.some(({ kind }) => kind === 'empty')
  const out = events.filter(({ kind }) => kind === 'out of the fridge').map(({ at }) => at)
  return {
    openings:
      written +
      elsewhere.length +
      sessions.reduce((sum, { sessionId }) => sum + Math.max(1, noted(sessionId)), 0),
    restMl: empty ? 0 : bottle.sizeMl === null ? null : Math.max(0, tidy(bottle.sizeMl - taken)),
    outAt: out.sort().at(-1) ?? null,
    empty,
  }
}

const mlOf = ({ coats, dummies, coatMl, purgeMl }: Pour) =>
  coats === 0 ? 0 : (coats + dummies) * coatMl + purgeMl

/** Whether a text is a day, YYYY-MM-DD. */
export const isDay = (text: string | undefined): boolean =>
  text !== undefined && /^\d{4}-\d{2}-\d{2}$/.test(text) && Number.isFinite(Date.parse(`${text}T00:00:00Z`))

/** The day of a moment on this machine's calendar, YYYY-MM-DD. */
export const dayOf = (moment: Date): string =>
  [moment.getFullYear(), moment.getMonth() + 1, moment.getDate()]
    .map((part) => String(part).padStart(2, '0'))
    .join('-')
