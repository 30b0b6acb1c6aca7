import { type Answer, good } from '../../../shared/problem.ts'
import { withFaults } from '../store/faults.ts'
import type { Row } from '../store/row.ts'
import { sqlite } from '../store/sqlite.ts'
import { openStudyFile, writeStudyFile } from '../store/study-file.ts'
import { studyHash } from '../store/study-hash.ts'
import { studyParts } from '../store/study-parts.ts'
import type { StudyRows } from '../store/study-rows.ts'

/** The bytes of a file of one study, in base 64, by a connection that reads. */
export function writtenStudy({
  databaseFile,
  studyId,
}: {
  databaseFile: string
  studyId: string
}): Answer<{ bytes: string; hash: string }> {
  return withFaults(databaseFile, () => {
    const db = new (sqlite())(databaseFile, { readonly: true, fileMustExist: true })
    try {
      return db.transaction(() =>
        good({ bytes: writeStudyFile(db, studyId).toString('base64'), hash: studyHash(db, studyId) }),
      )()
    } finally {
      db.close()
    }
  })
}

/** All rows that a file of a study holds, once the file has been looked through. */
export function readStudy({
  fileName,
  bytes,
}: {
  fileName: string
  bytes: string
}): Answer<{ hash: string; rows: StudyRows }> {
  const opened = openStudyFile(Buffer.from(bytes, 'base64'), fileName)
  if (!opened.ok) return opened
  const { db, studyId, hash } = opened.value
  try {
    const all = (table: string) => db.prepare(`SELECT * FROM "${table}" ORDER BY rowid`).all() as Row[]
    const tables = Object.fromEntries(studyParts.map(({ table }) => [table, all(table)]))
    return good({ hash, rows: { studyId, tables, steps: all('step'), changes: all('change') } })
  } finally {
    db.close()
  }
}
