import type { BroughtIn, WayIn } from '../../../shared/contract/calls/study-files.ts'
import { studyFileEnding } from '../../../shared/file-name.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { count } from '../../../shared/words.ts'
import { addToStudy } from '../store/add-to-study.ts'
import type { Store } from '../store/open.ts'
import { hasOrphans } from '../store/orphans.ts'
import { putInCopy, putInStudy, studyIsHere } from '../store/put-in-study.ts'
import { sqlite } from '../store/sqlite.ts'
import { describeStep } from '../store/step.ts'
import { studyOf } from '../store/studies.ts'
import { studyHash } from '../store/study-hash.ts'
import type { StudyRows } from '../store/study-rows.ts'
import { findStudy, type Handlers } from './handler.ts'
import { readsAsOurs } from './reads-as-ours.ts'
import { studyFileName } from './study-csv.ts'

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
      return study.ok ? good({ fileName: studyFileName(study.value, studyFileEnding), bytes, hash }) : study
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
      const done = wellBroughtIn(store, rows, way)
      if (!done) return oddFile(fileName)
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

function broughtIn({ db }: Store, rows: StudyRows, way: WayIn): BroughtIn | null {
  const { studyId } = rows
  if (way === 'add') return { studyId, ...addToStudy(db, rows) }
  const none = { takenOver: [], left: [], renamed: [], repeats: 0 }
  if (way === 'copy') {
    const copy = putInCopy(db, rows, `${nameIn(rows).slice(0, 190)}, copy`)
    return copy === null ? null : { studyId: copy, ...countsOf(rows), ...none }
  }
  if (!putInStudy(db, rows)) return null
  return { studyId, ...countsOf(rows), ...none }
}

const oddFile = (fileName: string) =>
  refuse('studyFileOdd', `‘${fileName}’ holds what this program does not write. Nothing was changed.`)

/** A file may hold rows and values that no page would have entered: what has come in must read as ours do. */
function wellBroughtIn(store: Store, rows: StudyRows, way: WayIn): BroughtIn | null {
  const { db } = store
  try {
    const done = broughtIn(store, rows, way)
    if (!done) return null
    return !hasOrphans(db, done.studyId) && readsAsOurs(store, done.studyId) ? done : null
  } catch (error) {
    // A row that is here already, or that breaks a rule of its table.
    if (error instanceof sqlite().SqliteError && error.code.startsWith('SQLITE_CONSTRAINT')) return null
    throw error
  }
}
