import { readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { backUp } from '../../electron/engine/store/backup.ts'
import { marks } from '../../electron/engine/store/changes.ts'
import { applicationId } from '../../electron/engine/store/migrate.ts'
import { migrations } from '../../electron/engine/store/migrations/all.ts'
import { openStore } from '../../electron/engine/store/open.ts'
import { testEngine, testFolder } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

function opened(file: string, options = {}) {
  const store = openStore(file, options)
  if (!store.ok) throw new Error(store.problems[0]?.message)
  return store.value
}

test('the database is ours by its application_id, versioned, and every commit reaches the disk', () => {
  const { db } = opened(join(testFolder(), 'a.db'))
  const pragma = (name: string) => db.pragma(name, { simple: true })
  expect(pragma('application_id')).toBe(applicationId)
  expect(Buffer.from(applicationId.toString(16), 'hex').toString()).toBe('EvFi')
  expect(pragma('user_version')).toBe(migrations.length)
  expect(pragma('journal_mode')).toBe('wal')
  expect(pragma('foreign_keys')).toBe(1)
  // The build sets NORMAL at the first transaction unless FULL was asked for in so many words.
  db.transaction(() => db.prepare('UPDATE writing SET step = NULL').run())()
  expect(pragma('synchronous')).toBe(2)
  expect(pragma('busy_timeout')).toBe(5000)
  db.close()
})

test('every table is strict and every column of numbers refuses infinity', () => {
  const { db } = opened(join(testFolder(), 'a.db'))
  const loose = db
    .prepare(
      `SELECT name FROM pragma_table_list WHERE strict = 0 AND type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!'`,
    )
    .all()
  expect(loose).toEqual([])
  const tables = db.prepare(`SELECT name, sql FROM sqlite_schema WHERE type = 'table'`).all() as {
    name: string
    sql: string
  }[]
  for (const { name, sql } of tables) {
    const reals = db
      .prepare(`SELECT name FROM pragma_table_info(?) WHERE type = 'REAL'`)
      .pluck()
      .all(name) as string[]
    for (const column of reals) expect(sql).toContain(`CHECK (${column} > -9e999 AND ${column} < 9e999)`)
  }
  db.close()
})

test('a mark by which rows are taken away is known as one', () => {
  const { db } = opened(join(testFolder(), 'a.db'))
  const marked = db
    .prepare(
      `SELECT tables.name, columns.name AS mark FROM pragma_table_list AS tables, pragma_table_info(tables.name) AS columns
       WHERE tables.type = 'table' AND columns.name IN ('removed', 'withdrawn')`,
    )
    .all() as { name: string; mark: string }[]
  expect(Object.fromEntries(marked.map(({ name, mark }) => [name, mark]))).toEqual(marks)
  db.close()
})

test('a raw reading can be neither changed nor deleted, whoever tries', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  await engine.ok('bench.enterReadings', {
    runId: runs[0]!.id,
    unit: 'nm',
    readings: [{ site: 1, text: '1500' }],
  })
  const db = new Sqlite(engine.file)
  const columns = (
    db.prepare('SELECT name FROM pragma_table_info(?)').pluck().all('reading') as string[]
  ).filter((name) => name !== 'withdrawn')
  expect(columns).toContain('value')
  for (const column of columns)
    expect(() => db.prepare(`UPDATE reading SET "${column}" = "${column}"`).run(), column).toThrow(
      /never changed/,
    )
  expect(() => db.prepare('DELETE FROM reading').run()).toThrow(/never deleted/)
  // A write outside a step would leave no record.
  expect(() => db.prepare(`UPDATE run SET note = 'x'`).run()).toThrow(
    /NOT NULL constraint failed: change.step/,
  )
  db.close()
})

test('a value that is no finite number never gets in', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const insert = (db: Sqlite.Database, value: number) => {
    db.exec(
      `INSERT INTO step (at, who, call, label, kind) VALUES ('', '', '', '', 'do'); UPDATE writing SET step = 1`,
    )
    db.prepare(
      `INSERT INTO reading (id, runId, quantity, value, text, unit, at) VALUES ('a', ?, 'thickness', ?, '', '', '')`,
    ).run(runs[0]!.id, value)
  }
  const db = new Sqlite(engine.file)
  for (const value of [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NaN]) {
    db.exec('BEGIN')
    expect(() => insert(db, value), String(value)).toThrow(/constraint failed/)
    db.exec('ROLLBACK')
  }
  db.close()
})

test('an older file is backed up whole before it is brought to a newer version', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  await engine.engine.close()
  const newer = [...migrations, 'ALTER TABLE run ADD COLUMN imagined TEXT']
  const store = opened(engine.file, { migrations: newer })
  expect(store.version).toBe(migrations.length + 1)
  const folder = dirname(engine.file)
  const backups = readdirSync(folder).filter((name) => name.endsWith('.backup'))
  expect(backups).toHaveLength(1)
  expect(readdirSync(folder).filter((name) => name.includes('unfinished'))).toEqual([])
  // The new column is recorded too.
  const trigger = store.db
    .prepare(`SELECT sql FROM sqlite_schema WHERE name = 'record UPDATE run'`)
    .pluck()
    .get()
  expect(trigger).toContain(`'imagined', NEW."imagined"`)
  store.db.close()
  const old = await testEngine({ databaseFile: join(folder, backups[0]!) })
  expect(await old.ok('application.about', {})).toMatchObject({ schema: migrations.length })
  expect(await old.ok('bench.runs', { studyId })).toHaveLength(18)
})

test('a migration that fails leaves the version as it was', () => {
  const file = join(testFolder(), 'a.db')
  opened(file).db.close()
  const broken = [
    ...migrations,
    'ALTER TABLE run ADD COLUMN imagined TEXT; ALTER TABLE imagined ADD COLUMN a TEXT',
  ]
  expect(() => openStore(file, { migrations: broken })).toThrow(/no such table/)
  const store = opened(file)
  expect(store.version).toBe(migrations.length)
  const columns = store.db.prepare(`SELECT name FROM pragma_table_info('run')`).pluck().all()
  expect(columns).not.toContain('imagined')
  store.db.close()
})

test('a backup holds what is still in the log of an open database', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const db = new Sqlite(engine.file)
  const copy = backUp(db, 'test')
  db.close()
  const restored = await testEngine({ databaseFile: copy })
  expect(await restored.ok('bench.runs', { studyId })).toEqual(await engine.ok('bench.runs', { studyId }))
})
