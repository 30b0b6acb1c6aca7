import type { PlateVisit } from '../../../shared/contract/things.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { sessionInWords } from '../../../shared/process/session-words.ts'
import { count } from '../../../shared/words.ts'
import { bottleOf } from '../store/bottles.ts'
import { changeRun, runsOf } from '../store/runs.ts'
import {
  beginSession,
  emptySession,
  keepPlateVisit,
  keepSession,
  plateVisitsOf,
  sessionsOf,
} from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { done, findStudy, type Handlers } from './handler.ts'

type Names = 'sessions.list' | 'sessions.keep' | 'sessions.putRuns' | 'sessions.keepVisit'

export const sessions: Handlers<Names> = {
  'sessions.list': ({ studyId }, { db }) => {
    const runs = runsOf(db, studyId)
    const kept = sessionsOf(db, studyId)
    const visits = plateVisitsOf(db, studyId)
    const named = new Set(runs.flatMap(({ session }) => session ?? []))
    const numbers = new Set(runs.flatMap(({ plateVisit }) => plateVisit ?? []))
    for (const { name } of kept) named.delete(name)
    for (const { number } of visits) numbers.delete(number)
    return good({
      sessions: [...kept, ...[...named].map(emptySession)],
      visits: [...visits, ...[...numbers].map(emptyVisit)].sort((a, b) => a.number - b.number),
    })
  },

  'sessions.keep': ({ studyId, session, renames }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const others = [
      ...sessionsOf(store.db, studyId).map(({ name }) => name),
      ...runsOf(store.db, studyId).map((run) => run.session),
    ]
    if (renames !== undefined && renames !== session.name && others.includes(session.name))
      return refuse('nameTaken', `There is a session ‘${session.name}’ already.`, { column: 'name' })
    if (session.bottleId !== null && !bottleOf(store.db, session.bottleId)) return noBottle
    keepSession(store.db, studyId, session, renames)
    describeStep(store.db, { label: `Recorded ${sessionInWords(session.name)}`, studyId })
    return done
  },

  'sessions.putRuns': ({ studyId, runIds, session, day = '' }, store) => {
    const { db } = store
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const known = new Set(runsOf(db, studyId).map(({ id }) => id))
    if (!runIds.every((id) => known.has(id)))
      return refuse('noSuchRun', 'There is no such run in this study.', { column: 'runIds' })
    for (const runId of runIds) changeRun(db, runId, { session })
    if (session !== null) {
      beginSession(db, studyId, session)
      const kept = sessionsOf(db, studyId).find(({ name }) => name === session) ?? emptySession(session)
      if (kept.day === '' && day !== '') keepSession(db, studyId, { ...kept, day })
    }
    const words = session === null ? 'no session' : sessionInWords(session)
    describeStep(db, { label: `Put ${count(runIds.length, 'run')} into ${words}`, studyId })
    return done
  },

  'sessions.keepVisit': ({ studyId, visit }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    keepPlateVisit(store.db, studyId, visit)
    describeStep(store.db, { label: `Recorded plate visit ${visit.number}`, studyId })
    return done
  },
}

const emptyVisit = (number: number): PlateVisit => ({
  number,
  display: null,
  surface: null,
  setAt: '',
  note: '',
})

export const noBottle = refuse('noSuchBottle', 'There is no such bottle here (any more).', {
  column: 'bottleId',
})
