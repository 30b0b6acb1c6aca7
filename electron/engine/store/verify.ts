import { existsSync, readFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { backupsOf } from './backups.ts'
import { damaged, otherSchema } from './damage.ts'
import { withFaults } from './faults.ts'
import { lookInside } from './look-inside.ts'
import { applicationId } from './migrate.ts'
import { migrations } from './migrations/all.ts'
import { hasOurSchema } from './schema.ts'
import { sqlite } from './sqlite.ts'
import { openStudyFile, studyFileId } from './study-file.ts'
import { studyHash } from './study-hash.ts'

/** What was found whole in a file. */
export type Verified = {
  kind: 'database' | 'study'
  version: number
  studies: { id: string; name: string; hash: string }[]
  /** Backups beside a database; `problem` where one cannot be used. */
  backups: { name: string; problem: Problem | null }[]
}

/** Reads every page of a database, or of the file of a study, and of the backups beside it; writes nothing. */
export function verifyFile(file: string): Answer<Verified> {
  if (!existsSync(file)) return refuse('noSuchFile', `There is no file ${file}.`)
  return withFaults(file, () => {
    const db = new (sqlite())(file, { readonly: true, fileMustExist: true })
    try {
      const id = db.pragma('application_id', { simple: true })
      if (id === studyFileId) return verifyStudy(file)
      if (id !== applicationId) return refuse('wrongApplication', `‘${file}’ is no database of Evenfilm.`)
      return verifyDatabase(db, file)
    } finally {
      db.close()
    }
  })
}

function verifyStudy(file: string): Answer<Verified> {
  const opened = openStudyFile(readFileSync(file), basename(file))
  if (!opened.ok) return opened
  const { db } = opened.value
  try {
    return good({ kind: 'study', version: versionOf(db), studies: studiesOf(db), backups: [] })
  } finally {
    db.close()
  }
}

function verifyDatabase(db: Database, file: string): Answer<Verified> {
  const version = versionOf(db)
  if (version > migrations.length)
    return refuse('newerVersion', `‘${file}’ was written by a newer Evenfilm (version ${version}).`)
  if (!hasOurSchema(db, 'database')) return { ok: false, problems: [damaged(file, otherSchema)] }
  const wrong = db.pragma('integrity_check(1)', { simple: true })
  if (wrong !== 'ok') return { ok: false, problems: [damaged(file)] }
  const [orphan] = db.pragma('foreign_key_check') as { table: string }[]
  if (orphan)
    return {
      ok: false,
      problems: [damaged(file, `a row of ‘${orphan.table}’ refers to one that is missing`)],
    }
  const backups = backupsOf(file).map(({ name }) => {
    const inside = lookInside(join(dirname(file), name))
    return { name, problem: inside.ok ? null : (inside.problems[0] as Problem) }
  })
  return good({ kind: 'database', version, studies: studiesOf(db), backups })
}

const versionOf = (db: Database) => db.pragma('user_version', { simple: true }) as number

function studiesOf(db: Database): Verified['studies'] {
  const studies = db.prepare('SELECT id, name FROM study WHERE removed = 0 ORDER BY name, id').all() as {
    id: string
    name: string
  }[]
  return studies.map((study) => ({ ...study, hash: studyHash(db, study.id) }))
}
