import type { Run, Session, Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { dayOf, isDay } from '../../../shared/process/bottle-state.ts'
import type { BottleAtHand } from '../../../shared/process/check-bench.ts'
import { checkProgram, toolsOf } from '../../../shared/process/check-program.ts'
import { checkStates } from '../../../shared/process/check-states.ts'
import { surfaceOf } from '../../../shared/process/plate-offset.ts'
import { programOfRun } from '../../../shared/process/run-program.ts'
import { programMinutes, programProfile } from '../../../shared/process/spin-program.ts'
import { minutesSince } from '../../../shared/process/time-of-day.ts'
import { bottleOf } from '../store/bottles.ts'
import type { Store } from '../store/open.ts'
import { plateVisitsOf, sessionIdOf, sessionsOf } from '../store/sessions.ts'

type Part = Pick<
  Result<'bench.card'>,
  'program' | 'programMinutes' | 'bake' | 'check' | 'checks' | 'profile' | 'plateSet' | 'session'
>

/** What a run sets on the tools, and how it stands to everything that is known of them at the moment. */
export function runCheck(store: Store, { study, run }: { study: Study; run: Run }, now: Date): Part {
  const { program, bakeTemperature, bakeTime } = programOfRun({ ...study, study, settings: run.settings })
  const tools = toolsOf(study)
  const visit = plateVisitsOf(store.db, study.id).find(({ number }) => number === run.plateVisit)
  const bake = { temperature: bakeTemperature, time: bakeTime }
  // Of a run that is done only what was written down counts: the clock has gone on since.
  const { minutesSinceSet, waferSinceClean } = run.actual
  const running = run.state === 'planned' && visit ? minutesSince(visit.setAt, now) : null
  const session = sessionsOf(store.db, study.id).find(({ name }) => name === run.session)
  const bottle = session ? bottleAtHand(store, { study, run, session }, now) : null
  const input = {
    ...tools,
    segments: program,
    bake,
    minutesSinceSet: minutesSinceSet ?? running,
    waferSinceClean: waferSinceClean ?? null,
    bottle,
  }
  const check = checkProgram(input)
  const { rampInside } = tools.coater
  return {
    program,
    programMinutes: programMinutes(program, rampInside),
    bake: {
      display: bakeTemperature,
      surface: surfaceOf(study.hotPlate, bakeTemperature),
      time: bakeTime,
    },
    check,
    checks: checkStates(input, check),
    profile: programProfile(program, rampInside),
    session: session
      ? { name: session.name, day: session.day, operator: session.operator, bottle: bottle?.name ?? null }
      : null,
    plateSet: { at: visit?.setAt ?? '', settles: study.hotPlate?.soak ?? null },
  }
}

/** The bottle of the run's session; of a run that is done as it was on that day. */
function bottleAtHand(
  { db }: Store,
  { study, run, session }: { study: Study; run: Run; session: Session },
  now: Date,
): BottleAtHand | null {
  if (session.bottleId === null) return null
  const bottle = bottleOf(db, session.bottleId, sessionIdOf(db, study.id, session.name))
  if (!bottle) return null
  const { name, expires, openings, outAt, restMl } = bottle
  const planned = run.state === 'planned'
  return {
    name,
    expires: isDay(expires) ? expires : null,
    today: isDay(session.day) ? session.day : dayOf(now),
    openings,
    waits: planned,
    minutesOut: planned && outAt !== null ? (now.getTime() - Date.parse(outAt)) / 60_000 : null,
    restMl: planned ? restMl : null,
    coatMl: study.coatMl,
  }
}
