import { expect, test } from 'vitest'
import { openStore, type Store } from '../../electron/engine/store/open.ts'
import { hasOrphans, referencesOf } from '../../electron/engine/store/orphans.ts'
import { studyParts } from '../../electron/engine/store/study-parts.ts'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

test('a row of a study that refers to one that is not there is found, and those of other studies are not', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.demo', {})
  const [run] = await engine.ok('bench.runs', { studyId })
  const { readings } = await engine.ok('bench.card', { runId: run!.id })
  await engine.ok('bench.excludeReading', { readingId: readings[0]!.id, reason: 'a scratch' })
  const text = `run,thickness\n${run!.code},1502\n`
  await engine.ok('imports.commit', { studyId, fileName: 'b.csv', text })
  const other = await plannedStudy(engine)
  await engine.engine.close()
  const { db } = (openStore(engine.file) as { value: Store }).value
  db.pragma('foreign_keys = OFF')
  for (const name of db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
    .pluck()
    .all() as string[])
    db.exec(`DROP TRIGGER "${name}"`)
  expect(hasOrphans(db, studyId)).toBe(false)
  const tried = studyParts.flatMap(({ table, rows }) =>
    referencesOf(db, table).flatMap(({ from }) => {
      const where = `rowid = (SELECT rowid FROM "${table}" AS own WHERE (${rows}) AND "${from}" IS NOT NULL LIMIT 1)`
      db.exec('BEGIN')
      const { changes } = db
        .prepare(`UPDATE "${table}" SET "${from}" = 'none' WHERE ${where}`)
        .run({ studyId })
      // What names its study by the column is no row of it any more.
      const isOf = db.prepare(`SELECT 1 FROM "${table}" AS own WHERE (${rows}) AND "${from}" = 'none'`)
      const found = changes > 0 && isOf.get({ studyId }) !== undefined
      if (found) {
        expect(hasOrphans(db, studyId), `${table}.${from}`).toBe(true)
        expect(hasOrphans(db, other.studyId)).toBe(false)
      }
      db.exec('ROLLBACK')
      return found ? [`${table}.${from}`] : []
    }),
  )
  db.close()
  expect(tried).toEqual(expect.arrayContaining(['study.coaterId', 'run.stageId', 'reading.importId']))
})
