import type { Database } from 'better-sqlite3'
import type { BottleInput } from '../../../shared/contract/materials.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { substrateHistory } from '../../../shared/process/substrate-history.ts'
import { addBottle, bottleOf, bottlesOf, changeBottle } from '../store/bottles.ts'
import { addEvent, bottleEventsOf, dropEvent, substrateEventsOf } from '../store/events.ts'
import { now } from '../store/ids.ts'
import { updateRow } from '../store/row.ts'
import { emptySession, keepSession, sessionIdOf, sessionsOf } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { coatsOf, substrateOf, substrateOfCode } from '../store/substrates.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { noBottle } from './sessions.ts'

type Names =
  | 'bottles.list'
  | 'bottles.events'
  | 'bottles.keep'
  | 'bottles.note'
  | 'substrates.history'
  | 'substrates.keep'
  | 'substrates.note'
  | 'events.takeBack'

const newBottle: Omit<BottleInput, 'name'> = {
  resist: '',
  lot: '',
  sizeMl: null,
  expires: '',
  openedFirst: '',
}

export const materials: Handlers<Names> = {
  'bottles.list': ({ studyId, session }, { db }) => good(bottlesOf(db, sessionIn(db, studyId, session))),

  'bottles.events': ({ bottleId }, { db }) => good(bottleEventsOf(db, bottleId)),

  'bottles.keep': ({ studyId, bottle, session }, { db }) => {
    const { id: known, ...fields } = bottle
    if (known !== undefined && !bottleOf(db, known)) return noBottle
    const id = known ?? addBottle(db, { ...newBottle, ...fields })
    if (known !== undefined) changeBottle(db, known, fields)
    if (studyId !== undefined && session !== undefined) {
      const kept = sessionsOf(db, studyId).find(({ name }) => name === session) ?? emptySession(session)
      keepSession(db, studyId, { ...kept, bottleId: id })
    }
    describeStep(db, { label: `Recorded bottle ${bottle.name}`, studyId: studyId ?? null })
    return good({ id })
  },

  'bottles.note': ({ studyId, bottleId, session, kind, at, ml, text }, { db }) => {
    const bottle = bottleOf(db, bottleId)
    if (!bottle) return noBottle
    if (kind === 'poured' && ml == null)
      return refuse('missingVolume', 'Say how many mL were poured.', { column: 'ml' })
    addEvent(db, {
      ...{ bottleId, kind, at: at ?? now(), text: text ?? '' },
      sessionId: sessionIn(db, studyId, session) ?? null,
      ml: kind === 'poured' ? (ml as number) : null,
    })
    describeStep(db, { label: `Bottle ${bottle.name}: ${kind}`, studyId: studyId ?? null })
    return done
  },

  'substrates.history': ({ code }, { db }) => {
    const substrate = substrateOfCode(db, code)
    if (!substrate) return good(null)
    const entries = substrateHistory(coatsOf(db, substrate.id), substrateEventsOf(db, substrate.id))
    return good({ substrate, entries })
  },

  'substrates.keep': ({ studyId, substrate: { id, ...fields } }, store) => {
    const { db } = store
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const before = substrateOf(db, id)
    if (!before) return noSubstrate
    const named = substrateOfCode(db, fields.code)
    if (named && named.id !== id)
      return refuse('nameTaken', `There is a substrate ‘${named.code}’ already.`, { column: 'code' })
    updateRow(db, 'substrate', id, fields)
    describeStep(db, { label: `Recorded substrate ${fields.code}`, studyId })
    return done
  },

  'substrates.note': ({ studyId, substrateId, kind, at, text }, store) => {
    const { db } = store
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const substrate = substrateOf(db, substrateId)
    if (!substrate) return noSubstrate
    addEvent(db, { substrateId, kind, at: at ?? now(), text: text ?? '' })
    describeStep(db, { label: `Substrate ${substrate.code}: ${kind}`, studyId })
    return done
  },

  'events.takeBack': ({ studyId, eventId }, { db }) => {
    if (!dropEvent(db, eventId)) return refuse('noSuchEvent', 'This was taken back already.')
    describeStep(db, { label: 'Took back a note on a bottle or a substrate', studyId: studyId ?? null })
    return done
  },
}

/** The session of a study, where one is named and something is recorded of it. */
const sessionIn = (db: Database, studyId: string | undefined, session: string | undefined) =>
  studyId === undefined || session === undefined ? undefined : sessionIdOf(db, studyId, session)

const noSubstrate = refuse('noSuchSubstrate', 'There is no such substrate here (any more).')
