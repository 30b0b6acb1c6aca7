import type { Database } from 'better-sqlite3'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { stopRecording } from './changes.ts'
import { migrate } from './migrate.ts'
import { migrations } from './migrations/all.ts'
import { insertRow, type Row } from './row.ts'
import { hasOurSchema } from './schema.ts'
import { sqlite } from './sqlite.ts'
import { studyHash } from './study-hash.ts'
import { ownParts, sharedParts } from './study-parts.ts'

/** Marks a file that holds one study: ‘EvFs’ in ASCII. It has the tables of a database, and no record of its own. */
export const studyFileId = 0x45764673

/** Everything of one study with its history, as the bytes of a file. */
export function writeStudyFile(db: Database, studyId: string): Buffer {
  const file = emptyFile()
  try {
    const copy = (table: string, rows: string) => {
      for (const row of db.prepare(`SELECT * FROM "${table}" WHERE ${rows}`).iterate({ studyId }))
        insertRow(file, table, row as Row)
    }
    const copyAll = () => {
      for (const { table, rows, once } of sharedParts) copy(table, `(${rows}) OR (${once})`)
      for (const { table, rows } of ownParts) copy(table, rows)
      copy('step', 'studyId = @studyId')
      copy('change', 'step IN (SELECT id FROM step WHERE studyId = @studyId)')
    }
    // What is read belongs together, whoever writes meanwhile.
    db.transaction(() => file.transaction(copyAll)())()
    file.exec('VACUUM')
    return file.serialize()
  } finally {
    file.close()
  }
}

/** A database in memory with our tables and without the triggers that record. */
function emptyFile(): Database {
  const file = new (sqlite())(':memory:')
  migrate(file, migrations)
  stopRecording(file)
  file.pragma(`application_id = ${studyFileId}`)
  file.pragma('foreign_keys = OFF')
  return file
}

/** What a file of a study holds. */
export type StudyFile = { db: Database; studyId: string; hash: string }

/**
 * Opens the bytes of a file in memory. What is no such file, was written by a newer version, is damaged, or has any
 * table or trigger that ours have not, is refused.
 *
 * @param name how the file is called in what is refused
 */
export function openStudyFile(bytes: Uint8Array, name: string): Answer<StudyFile> {
  const none = refuse('notAStudyFile', `‘${name}’ is no file of a study. Nothing was changed.`)
  const hurt = refuse('studyFileDamaged', `‘${name}’ is damaged. Nothing was changed. Ask for it again.`)
  const head = Buffer.from(bytes.subarray(0, 100))
  // The application_id stands at byte 68 (SQLite, Database File Format, section 1.3).
  const ours = head.length === 100 && head.toString('latin1', 0, 16) === 'SQLite format 3\0'
  if (!ours || head.readUInt32BE(68) !== studyFileId) return none
  let db: Database | undefined
  try {
    db = new (sqlite())(Buffer.from(bytes))
    db.pragma('trusted_schema = OFF')
    db.pragma('cell_size_check = ON')
    const version = db.pragma('user_version', { simple: true }) as number
    if (version > migrations.length)
      return closed(
        db,
        refuse(
          'newerVersion',
          `‘${name}’ was written by a newer Evenfilm (version ${version}). Update this one first.`,
        ),
      )
    // What is in the schema of a stranger is looked at before anything of it is run.
    if (!hasOurSchema(db, 'study')) return closed(db, none)
    if (db.pragma('integrity_check(1)', { simple: true }) !== 'ok') return closed(db, hurt)
    bringUp(db)
    const studies = db.prepare('SELECT id FROM study WHERE removed = 0').pluck().all() as string[]
    const [studyId] = studies
    if (studyId === undefined || studies.length > 1) return closed(db, none)
    if ((db.pragma('foreign_key_check') as unknown[]).length > 0) return closed(db, hurt)
    return good({ db, studyId, hash: studyHash(db, studyId) })
  } catch (error) {
    db?.close()
    if (!(error instanceof sqlite().SqliteError)) throw error
    return hurt
  }
}

function closed<T>(db: Database, answer: T): T {
  db.close()
  return answer
}

/** Brings a file of an older version to the tables of this one. */
function bringUp(db: Database): void {
  if (db.pragma('user_version', { simple: true }) === migrations.length) return
  migrate(db, migrations)
  stopRecording(db)
}
