import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { recordedBy } from '../../../electron/engine/store/changes.ts'
import { migrate } from '../../../electron/engine/store/migrate.ts'
import { migrations } from '../../../electron/engine/store/migrations/all.ts'
import { fieldWords, toldOfNew } from '../../../shared/history/field-words.ts'

/** Columns of which the thing, the mark or another column says what a person wants to know. */
const notTold: Record<string, string> = {
  gaugeStudy: 'at',
  gaugeReading: 'gaugeStudyId wafer operator reload scan value text unit at',
  checkReading: 'gaugeId standardId day value text unit at',
  study: 'createdAt',
  factor: 'studyId',
  stage: 'studyId at',
  // A kept recipe is never changed, and its sheet says all of it.
  recipe:
    'studyId name version supersedes resist coater hotPlate gauge program bakeDisplay bakeSurface bakeTime targetAfter uniformityLimit uniformityFormula film speeds exponent model dataHash runs decidedAt',
  run: 'studyId',
  session: 'studyId',
  event: 'bottleId substrateId studyId',
  plateVisit: 'studyId number',
  import: 'studyId fileName sha256 runs readings at',
  reading: 'importId quantity site xMm yMm repeat value text unit at supersedes',
  exclusion: 'readingId',
  trace: 'at positionUnit heightUnit points',
  readingTrace: 'readingId',
  prediction: 'studyId at model dataHash scope sessions errors',
  lotDecision: 'studyId lot against at dataHash numbers',
  confirmation:
    'studyId stageId at model dataHash scope uniformityLimit uniformityFormula chance level runsByDay errors single simultaneous speed',
}

test('every column of every table that is recorded has words, or is not told for a reason', () => {
  const db = new Sqlite(':memory:')
  migrate(db, migrations)
  const tables = recordedBy(db).flatMap((name) => /^record INSERT (\w+)$/.exec(name)?.[1] ?? [])
  expect(tables.sort()).toEqual(Object.keys(fieldWords).sort())
  for (const table of tables) {
    const columns = db.prepare('SELECT name FROM pragma_table_info(?)').pluck().all(table) as string[]
    const told = Object.keys(fieldWords[table]!)
    const silent = ['id', 'removed', 'withdrawn', ...(notTold[table] ?? '').split(' ')]
    expect(
      columns.filter((name) => !told.includes(name) && !silent.includes(name)),
      table,
    ).toEqual([])
    expect(
      told.filter((name) => !columns.includes(name)),
      table,
    ).toEqual([])
    expect(
      (toldOfNew[table] ?? []).filter((name) => !told.includes(name)),
      table,
    ).toEqual([])
  }
  db.close()
})
