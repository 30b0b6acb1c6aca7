import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import Sqlite from 'better-sqlite3'
import { expect, onTestFinished, test } from 'vitest'
import { migrations } from '../../electron/engine/store/migrations/all.ts'
import { openStudyFile, writeStudyFile } from '../../electron/engine/store/study-file.ts'
import { studyHash } from '../../electron/engine/store/study-hash.ts'
import { verifyFile } from '../../electron/engine/store/verify.ts'
import { type TestEngine, testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { changeEverything } from './every-change.ts'
import { standingIn } from './standing-in.ts'

/** One database of each released version, in which every call has written, and the file of its first study. */
const folder = join(import.meta.dirname, '../data/databases')
const howToKeep =
  'Before the migration is listed in all.ts: EVENFILM_KEEP_DATABASE=yes npm test -- old-databases'

/** Everything is undone and made again, ms. */
const patience = 90_000

/** Columns that a migration changed on purpose, as `table.column`, each with the reason. */
const changedOnPurpose: Record<string, string> = {}

/** What a later version may bring: a column that may be empty, one with a default, one that is filled in, a table. */
const imagined = `
  ALTER TABLE reading ADD COLUMN imagined REAL CHECK (imagined > -9e999 AND imagined < 9e999);
  ALTER TABLE study ADD COLUMN imagined INTEGER NOT NULL DEFAULT 0 CHECK (imagined IN (0, 1));
  ALTER TABLE run ADD COLUMN imagined TEXT;
  UPDATE run SET imagined = 'run ' || code;
  CREATE TABLE imagined (id TEXT PRIMARY KEY, runId TEXT NOT NULL REFERENCES run (id)) STRICT;
  CREATE INDEX imaginedOfRun ON imagined (runId);
  INSERT INTO imagined SELECT 'imagined ' || id, id FROM run;`

type Kept = { version: number; database: Buffer; study: Buffer }
const kept: Kept[] = (existsSync(folder) ? readdirSync(folder) : [])
  .flatMap((name) => /^version-(\d+)\.database\.gz$/.exec(name)?.[1] ?? [])
  .map(Number)
  .sort((a, b) => a - b)
  .map((version) => ({ version, ...read(version) }))

function read(version: number) {
  const [database, study] = ['database', 'study'].map((kind) =>
    gunzipSync(readFileSync(fileOf(version, kind))),
  )
  return { database: database as Buffer, study: study as Buffer }
}
function fileOf(version: number, kind: string) {
  return join(folder, `version-${version}.${kind}.gz`)
}

/** A database of this version in which every call has written. */
async function databaseOfNow(): Promise<Omit<Kept, 'version'>> {
  const engine = await testEngine()
  await changeEverything(
    () => engine,
    (name, args) => engine.ok(name, args),
  )
  await engine.engine.close()
  const db = new Sqlite(engine.file)
  const studyId = db.prepare('SELECT id FROM study WHERE removed = 0 ORDER BY id').pluck().get() as string
  const study = writeStudyFile(db, studyId)
  db.pragma('journal_mode = DELETE')
  db.exec('VACUUM')
  db.close()
  return { database: readFileSync(engine.file), study }
}

/** Every row of every table by its name; of a view, and of the record of what is answered, nothing. */
function tablesOf(db: Sqlite.Database): Map<string, Record<string, unknown>[]> {
  const names = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!'`)
    .pluck()
    .all() as string[]
  return new Map(
    names.map((name) => [
      name,
      db.prepare(`SELECT * FROM "${name}" ORDER BY 1`).all() as Record<string, unknown>[],
    ]),
  )
}

function inFile<T>(file: string, look: (db: Sqlite.Database) => T): T {
  const db = new Sqlite(file, { readonly: true })
  try {
    return look(db)
  } finally {
    db.close()
  }
}

/** Undoes all that can be undone and makes it again, as a person might who goes on with an old database. */
async function allBackAndForward({ ok, file }: TestEngine): Promise<void> {
  const studies = inFile(file, (db) =>
    db.prepare(`SELECT studyId FROM step WHERE kind = 'do' AND state = 'done' ORDER BY id`).pluck().all(),
  ) as (string | null)[]
  const before = standingIn(file)
  const undone: (string | null)[] = []
  // What a study brought with it goes with the step that brought it in.
  for (const studyId of studies.reverse())
    if ((await ok('history.undo', { studyId })).label !== null) undone.push(studyId)
  expect(undone.length).toBeGreaterThan(50)
  for (const studyId of undone.reverse())
    expect((await ok('history.redo', { studyId })).label, `redo in ${studyId}`).not.toBeNull()
  expect(standingIn(file)).toBe(before)
}

/** Opens a database of an older version as a person does who has a newer program, and goes on with it. */
async function goesOn({ version, database, study }: Kept): Promise<void> {
  const old = join(testFolder(), 'old.db')
  writeFileSync(old, database)
  const before = inFile(old, tablesOf)
  const file = join(testFolder(), 'test.db')
  writeFileSync(file, database)

  const engine = await testEngine({ databaseFile: file })
  expect(await engine.ok('application.about', {})).toMatchObject({ schema: migrations.length })
  const backups = readdirSync(dirname(file)).filter((name) => name.includes('before-version'))
  expect(backups).toHaveLength(1)
  const backup = inFile(join(dirname(file), backups[0] as string), tablesOf)
  expect(backup, 'the backup holds what there was').toEqual(before)

  const after = inFile(file, tablesOf)
  for (const [table, rows] of before) {
    const columns = Object.keys(rows[0] ?? {}).filter((column) => !(`${table}.${column}` in changedOnPurpose))
    const same = (row: Record<string, unknown>) => columns.map((column) => row[column])
    expect(after.get(table)?.map(same), `what stood in ${table}`).toEqual(rows.map(same))
  }

  const studies = await engine.ok('studies.list', {})
  expect(studies.length).toBeGreaterThan(2)
  for (const { id: studyId } of studies) {
    await engine.ok('bench.runs', { studyId })
    await engine.ok('history.read', { studyId, limit: 200 })
    await engine.ok('reports.items', { studyId })
  }
  await allBackAndForward(engine)
  await engine.engine.close()
  expect(verifyFile(file)).toMatchObject({ ok: true, value: { version: migrations.length } })

  const opened = openStudyFile(study, `a study of version ${version}`)
  if (!opened.ok) throw new Error(opened.problems[0]?.message)
  expect(opened.value.db.pragma('user_version', { simple: true })).toBe(migrations.length)
  expect(opened.value.hash, 'a study by itself and in its database').toBe(
    inFile(file, (db) => studyHash(db, opened.value.studyId)),
  )
  opened.value.db.close()
}

test('a database of every version before this one is kept', () => {
  const earlier = Array.from({ length: migrations.length - 1 }, (_, i) => i + 1)
  const versions = kept.map(({ version }) => version)
  expect(
    earlier.filter((version) => !versions.includes(version)),
    `versions without a database in tests/data/databases. ${howToKeep}`,
  ).toEqual([])
})

test.each(kept.filter(({ version }) => version < migrations.length))(
  'a database of version $version opens, is backed up, loses nothing and goes on',
  (old) => goesOn(old),
  patience,
)

test(
  'a database of this version will open in the next, be backed up, lose nothing and go on',
  async () => {
    const now = { version: migrations.length, ...(await databaseOfNow()) }
    const all = migrations as string[]
    all.push(imagined)
    onTestFinished(() => {
      all.splice(all.indexOf(imagined), 1)
    })
    await goesOn(now)
  },
  patience,
)

test.runIf(process.env.EVENFILM_KEEP_DATABASE)('keeps a database of this version', async () => {
  mkdirSync(folder, { recursive: true })
  for (const [kind, bytes] of Object.entries(await databaseOfNow())) {
    const file = fileOf(migrations.length, kind)
    expect(existsSync(file), `${file} is there already, and what was released is never changed`).toBe(false)
    writeFileSync(file, gzipSync(bytes, { level: 9 }))
  }
})
