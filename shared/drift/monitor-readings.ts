import type { RecipeDrift } from '../contract/calls/recipes.ts'
import type { ProcessEvent } from '../contract/materials.ts'
import { smallest } from '../extremes.ts'
import { meanOf } from '../means.ts'
import { dayOf } from '../process/bottle-state.ts'

/** A monitor wafer that has been read. */
export type MonitorWafer = {
  code: string
  session: string | null
  /** Of its session, YYYY-MM-DD; empty while unknown. */
  day: string
  coatedAt: string | null
  mean: number
  /** Standard deviation over the sites as a share of the mean. */
  spread: number | null
  /** Of the session's bottle; null where it names none. */
  openings: number | null
}

type Found = Pick<RecipeDrift, 'readings' | 'events'>

/**
 * Monitor wafers as readings, one a session: the wafers of one session share its own shift, so they are one value, the
 * mean of their logarithms. Wafers of no named session are taken together by the day on which they were coated. The
 * order is that of the days where all are known, else that of the runs. An event on the day of a reading counts as
 * before it, unless the wafers were coated earlier that day.
 *
 * @param wafers in run order
 * @param events in time
 */
export function monitorReadings(wafers: readonly MonitorWafer[], events: readonly ProcessEvent[]): Found {
  const groups = new Map<string, MonitorWafer[]>()
  for (const wafer of wafers) {
    const key = wafer.session ?? (dayOfWafer(wafer) || `run ${wafer.code}`)
    groups.set(key, [...(groups.get(key) ?? []), wafer])
  }
  const found = [...groups].map(([session, own]) => ({
    session,
    day: own.map(dayOfWafer).find((day) => day !== '') ?? '',
    runs: own.map(({ code }) => code),
    thicknessNm: Math.exp(meanOf(own.map(({ mean }) => Math.log(mean)))),
    spread: spreadOf(own),
    openings: own[0]?.openings ?? null,
    moment: momentOf(own),
  }))
  if (found.every(({ moment }) => moment !== null))
    found.sort((a, b) => (a.moment as number) - (b.moment as number))
  const placed = events.map((event) => {
    const at = new Date(event.at).getTime()
    const next = found.findIndex(({ moment }) => moment !== null && moment >= at)
    return { ...event, before: next < 0 ? found.length : next }
  })
  return {
    events: placed,
    readings: found.map(({ moment: _, ...reading }, i) => ({
      ...reading,
      openings: reading.openings ?? openingsNoted(placed, i),
    })),
  }
}

/** Openings noted since the last fresh bottle, up to a reading; null where none was ever noted. */
function openingsNoted(events: Found['events'], reading: number): number | null {
  if (!events.some(({ kind }) => kind === 'bottle opened')) return null
  const past = events.filter(({ before }) => before <= reading)
  const fresh = past.map(({ kind }) => kind).lastIndexOf('fresh bottle')
  return past.slice(fresh + 1).filter(({ kind }) => kind === 'bottle opened').length
}

const dayOfWafer = ({ day, coatedAt }: MonitorWafer) =>
  day !== '' ? day : coatedAt === null ? '' : dayOf(new Date(coatedAt))

/** When the first wafer of a reading was coated, ms; the end of its day where the hour is not known. */
function momentOf(wafers: readonly MonitorWafer[]): number | null {
  const moments = wafers.flatMap((wafer) => {
    const day = dayOfWafer(wafer)
    // A wafer that was noted later than it was coated says nothing of the hour.
    if (wafer.coatedAt !== null && day === dayOf(new Date(wafer.coatedAt)))
      return [Date.parse(wafer.coatedAt)]
    const end = Date.parse(`${day}T23:59:59`)
    return Number.isNaN(end) ? [] : [end]
  })
  return moments.length === 0 ? null : smallest(moments)
}

function spreadOf(wafers: readonly MonitorWafer[]): number | null {
  const spreads = wafers.flatMap(({ spread }) => (spread !== null && spread > 0 ? [Math.log(spread)] : []))
  return spreads.length < wafers.length ? null : Math.exp(meanOf(spreads))
}
