import type { BroughtIn, WayIn } from '../../../shared/contract/calls/study-files.ts'
import * as things from '../../../shared/contract/things.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { count } from '../../../shared/words.ts'
import { addToStudy } from '../store/add-to-study.ts'
import type { Store } from '../store/open.ts'
import { putInCopy, putInStudy, studyIsHere } from '../store/put-in-study.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { studyOf } from '../store/studies.ts'
import { studyHash } from '../store/study-hash.ts'
import type { StudyRows } from '../store/study-rows.ts'
import { findStudy, type Handlers } from './handler.ts'
import { fileStem } from './study-csv.ts'

type Names = 'studies.file' | 'studies.lookAtFile' | 'studies.bringIn' | 'studies.hash'

export const studyFiles: Handlers<Names> = {
  'studies.file': {
    computation: 'writtenStudy',
    ask({ studyId }, store) {
      const study = findStudy(store, studyId)
      return study.ok ? good({ databaseFile: store.file, studyId }) : study
    },
    finish({ bytes, hash }, { studyId }, store) {
      const study = findStudy(store, studyId)
      return study.ok ? good({ fileName: `${fileStem(study.value)}.evenfilm`, bytes, hash }) : study
    },
  },

  'studies.lookAtFile': {
    computation: 'readStudy',
    ask: (file) => good(file),
    finish({ hash, rows }, _file, { db }) {
      const here = studyOf(db, rows.studyId)
      return good({
        name: nameIn(rows),
        ...countsOf(rows),
        changedAt: (rows.steps.at(-1)?.at as string | undefined) ?? null,
        hash,
        ways: waysFor(db, rows),
        here: here && { name: here.name, same: studyHash(db, rows.studyId) === hash },
      })
    },
  },

  'studies.bringIn': {
    computation: 'readStudy',
    backUpBefore: 'before-adding',
    ask: ({ fileName, bytes }) => good({ fileName, bytes }),
    finish({ rows }, { fileName, way }, store) {
      const { db } = store
      if (!waysFor(db, rows).includes(way)) return notThatWay(way, fileName)
      const done = broughtIn(store, rows, way)
      const whole = checkStudy(store, done.studyId, fileName)
      if (!whole.ok) return whole
      const label =
        way === 'add'
          ? `Added ${count(done.runs, 'run')} and ${count(done.readings, 'reading')} of ‘${fileName}’`
          : `Brought in ‘${fileName}’`
      describeStep(db, { label, studyId: done.studyId })
      return good(done)
    },
  },

  'studies.hash': ({ studyId }, store) => {
    const study = findStudy(store, studyId)
    return study.ok ? good({ hash: studyHash(store.db, studyId) }) : study
  },
}

const nameIn = ({ tables }: StudyRows) => (tables.study?.[0]?.name as string | undefined) ?? ''

function countsOf({ tables }: StudyRows): { runs: number; readings: number } {
  return {
    runs: (tables.run ?? []).filter(({ removed }) => removed === 0).length,
    readings: (tables.reading ?? []).filter(({ withdrawn }) => withdrawn === 0).length,
  }
}

/** A study that was taken away here can only come in as a copy: its identifiers are in use. */
function waysFor(db: Store['db'], { studyId }: StudyRows): WayIn[] {
  if (!studyIsHere(db, studyId)) return ['new']
  return studyOf(db, studyId) ? ['add', 'copy'] : ['copy']
}

const notThatWay = (way: WayIn, fileName: string) =>
  way === 'new'
    ? refuse(
        'studyIsHere',
        `The study of ‘${fileName}’ is here already: add what is new, or take it as a copy.`,
      )
    : refuse('studyIsNotHere', `The study of ‘${fileName}’ is not here: bring it in as it is.`)

function broughtIn({ db }: Store, rows: StudyRows, way: WayIn): BroughtIn {
  const { studyId } = rows
  if (way === 'add') return { studyId, ...addToStudy(db, rows) }
  const none = { takenOver: [], left: [], renamed: [], repeats: 0 }
  if (way === 'copy') {
    const copy = putInCopy(db, rows, `${nameIn(rows).slice(0, 190)}, copy`)
    return { studyId: copy, ...countsOf(rows), ...none }
  }
  putInStudy(db, rows)
  return { studyId, ...countsOf(rows), ...none }
}

/** A file may hold values that no page would have entered: what has come in must read as ours do. */
function checkStudy(store: Store, studyId: string, fileName: string): Answer<true> {
  const { db } = store
  const odd = refuse(
    'studyFileOdd',
    `‘${fileName}’ holds what this program does not write. Nothing was changed.`,
  )
  if ((db.pragma('foreign_key_check') as unknown[]).length > 0) return odd
  try {
    const readings = [...readingsOfStudy(db, studyId).values()].flat()
    const whole =
      things.study.safeParse(studyOf(db, studyId)).success &&
      runsOf(db, studyId).every((run) => things.run.safeParse(run).success) &&
      readings.every((reading) => things.reading.safeParse(reading).success)
    return whole ? good(true) : odd
  } catch (error) {
    // JSON of another shape than ours.
    if (error instanceof SyntaxError || error instanceof TypeError) return odd
    throw error
  }
}
