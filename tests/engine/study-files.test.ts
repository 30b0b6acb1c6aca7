import { readFileSync } from 'node:fs'
import Sqlite from 'better-sqlite3'
import { describe, expect, test } from 'vitest'
import { openStudyFile, studyFileId } from '../../electron/engine/store/study-file.ts'
import { ofNoStudy, studyParts } from '../../electron/engine/store/study-parts.ts'
import type { Result } from '../../shared/contract.ts'
import { seeded } from '../../shared/random.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

type File = Pick<Result<'studies.file'>, 'fileName' | 'bytes'>

const fileOf = async ({ ok }: TestEngine, studyId: string): Promise<File & { hash: string }> =>
  ok('studies.file', { studyId })
const plain = ({ fileName, bytes }: File) => ({ fileName, bytes })
const hashIn = async ({ ok }: TestEngine, studyId: string) => (await ok('studies.hash', { studyId })).hash
const readIn = ({ ok }: TestEngine, runId: string, site: number, text: string) =>
  ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site, text }] })
const readingsIn = async ({ ok }: TestEngine, runId: string) => (await ok('bench.card', { runId })).readings

/** The same study in two databases. */
async function twoWithOne() {
  const one = await testEngine()
  const { studyId, runs } = await plannedStudy(one)
  const two = await testEngine()
  await two.ok('studies.bringIn', { ...plain(await fileOf(one, studyId)), way: 'new' })
  return { one, two, studyId, runs }
}

test('every table belongs to a study or is known not to', async () => {
  const { file } = await testEngine()
  const db = new Sqlite(file, { readonly: true })
  const tables = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite!_%' ESCAPE '!'`)
    .pluck()
    .all() as string[]
  db.close()
  const known = [...studyParts.map(({ table }) => table), ...ofNoStudy]
  expect(known.sort()).toEqual(tables.sort())
})

describe('a study moves to another database', () => {
  test('with all that it has: data, tools, history, and the steps that undo takes back', async () => {
    const one = await testEngine()
    const { studyId } = await one.ok('studies.demo', { seed: 3 })
    const file = await fileOf(one, studyId)
    expect(file.fileName).toMatch(/\.evenfilm$/)
    const two = await testEngine()
    const inside = await two.ok('studies.lookAtFile', plain(file))
    const runs = await one.ok('bench.runs', { studyId })
    expect(inside).toMatchObject({ runs: runs.length, hash: file.hash, ways: ['new'], here: null })
    const done = await two.ok('studies.bringIn', { ...plain(file), way: 'new' })
    expect(done).toMatchObject({ studyId, runs: runs.length, readings: inside.readings })
    expect(await hashIn(two, studyId)).toBe(file.hash)
    expect(await hashIn(one, studyId)).toBe(file.hash)
    expect(await two.ok('bench.runs', { studyId })).toEqual(runs)
    for (const call of ['reports.runsCsv', 'reports.readingsCsv', 'reports.ledgerCsv'] as const)
      expect(await two.ok(call, { studyId })).toEqual(await one.ok(call, { studyId }))
    // Its own history lies below the step that brought it.
    const history = async ({ ok }: TestEngine) =>
      (await ok('history.list', { studyId })).map(({ id: _, ...step }) => step)
    expect((await history(two)).slice(1)).toEqual(await history(one))
  })

  test('and its last step can be taken back there', async () => {
    const { one, two, studyId, runs } = await twoWithOne()
    const before = await hashIn(one, studyId)
    await readIn(one, runs[0]!.id, 1, '1500')
    await two.ok('studies.bringIn', { ...plain(await fileOf(one, studyId)), way: 'add' })
    expect(await readingsIn(two, runs[0]!.id)).toHaveLength(1)
    await two.ok('history.undo', { studyId })
    expect(await readingsIn(two, runs[0]!.id)).toEqual([])
    expect(await hashIn(two, studyId)).toBe(before)
  })
})

test('a study whose tools were changed comes in with what its history names, and as whole again after it was taken back', async () => {
  const one = await testEngine()
  const { studyId, runs } = await plannedStudy(one)
  for (const name of ['G1', 'G2']) {
    const { id } = await one.ok('tools.saveGauge', { studyId, gauge: { name } })
    await one.ok('studies.update', { studyId, change: { gaugeId: id } })
    const size = { wafers: ['M1', 'M2'], operators: ['A'], reloads: 2, scans: 2, toleranceNm: null, note: '' }
    await one.ok('gauges.startStudy', { studyId, study: { gaugeId: id, ...size } })
  }
  await readIn(one, runs[0]!.id, 1, '1500')
  const [reading] = await readingsIn(one, runs[0]!.id)
  await one.ok('bench.withdrawReadings', { studyId, readingIds: [reading!.id] })
  const file = await fileOf(one, studyId)
  const two = await testEngine()
  await two.ok('studies.bringIn', { ...plain(file), way: 'new' })
  expect(await hashIn(two, studyId)).toBe(file.hash)
  // Gauge studies stay where they were made, and so does what tells of them.
  const labels = (await two.ok('history.list', { studyId })).map(({ label }) => label)
  expect(labels).toContain('Saved the gauge ‘G1’')
  expect(labels.filter((label) => label.includes('gauge study'))).toEqual([])
  // Taken back and brought in again, and nothing of it can be taken back while it is not there.
  for (const call of ['history.undo', 'history.undo', 'history.redo'] as const)
    await two.ok(call, { studyId })
  expect((await two.ok('history.redo', { studyId })).label).toBeNull()
  // What was withdrawn there stays withdrawn.
  expect(await hashIn(two, studyId)).toBe(file.hash)
  expect((await two.ok('studies.bringIn', { ...plain(file), way: 'copy' })).readings).toBe(0)
})

describe('the hash of a study', () => {
  test('changes with a reading, and comes back when that is undone', async () => {
    const engine = await testEngine()
    const { studyId, runs } = await plannedStudy(engine)
    const before = await hashIn(engine, studyId)
    expect(before).toMatch(/^[0-9a-f]{64}$/)
    await readIn(engine, runs[0]!.id, 1, '1500')
    expect(await hashIn(engine, studyId)).not.toBe(before)
    await engine.ok('history.undo', { studyId })
    expect(await hashIn(engine, studyId)).toBe(before)
  })

  test('does not see other studies', async () => {
    const engine = await testEngine()
    const { studyId } = await plannedStudy(engine)
    const before = await hashIn(engine, studyId)
    await engine.ok('studies.demo', {})
    expect(await hashIn(engine, studyId)).toBe(before)
  })
})

describe('adding what is new in another database', () => {
  test('brings runs that were read there, and leaves what was read here', async () => {
    const { one, two, studyId, runs } = await twoWithOne()
    await readIn(one, runs[0]!.id, 1, '1500')
    await readIn(two, runs[1]!.id, 1, '1600')
    const done = await one.ok('studies.bringIn', { ...plain(await fileOf(two, studyId)), way: 'add' })
    expect(done).toMatchObject({ studyId, runs: 0, readings: 1, left: [], repeats: 0 })
    expect((await readingsIn(one, runs[0]!.id)).map(({ value }) => value)).toEqual([1500])
    expect((await readingsIn(one, runs[1]!.id)).map(({ value }) => value)).toEqual([1600])
    // Planned here, read there.
    expect(done.takenOver).toEqual([runs[1]!.code])
    expect((await one.ok('bench.runs', { studyId }))[1]?.state).toBe(
      (await two.ok('bench.runs', { studyId }))[1]?.state,
    )
  })

  test('makes nothing new of the same file twice, nor of its own', async () => {
    const { one, two, studyId, runs } = await twoWithOne()
    await readIn(two, runs[1]!.id, 1, '1600')
    const file = plain(await fileOf(two, studyId))
    await one.ok('studies.bringIn', { ...file, way: 'add' })
    const once = await hashIn(one, studyId)
    const again = await one.ok('studies.bringIn', { ...file, way: 'add' })
    expect(again).toMatchObject({ runs: 0, readings: 0, takenOver: [], renamed: [], repeats: 0 })
    await one.ok('studies.bringIn', { ...plain(await fileOf(one, studyId)), way: 'add' })
    expect(await hashIn(one, studyId)).toBe(once)
    expect((await one.ok('studies.lookAtFile', plain(await fileOf(one, studyId)))).here?.same).toBe(true)
  })

  test('keeps both where a site was read here and there, and a correction there counts here', async () => {
    const { one, two, studyId, runs } = await twoWithOne()
    const run = runs[0]!.id
    await readIn(one, run, 1, '1500')
    await readIn(two, run, 1, '1510')
    const done = await one.ok('studies.bringIn', { ...plain(await fileOf(two, studyId)), way: 'add' })
    expect(done.repeats).toBe(1)
    const both = (await readingsIn(one, run)).map(({ value, repeat }) => [repeat, value])
    expect(both).toEqual([
      [1, 1500],
      [2, 1510],
    ])
    // Now two takes that over, corrects the first, and one takes the correction.
    await two.ok('studies.bringIn', { ...plain(await fileOf(one, studyId)), way: 'add' })
    await readIn(two, runs[1]!.id, 3, '1400')
    await one.ok('studies.bringIn', { ...plain(await fileOf(two, studyId)), way: 'add' })
    await readIn(two, runs[1]!.id, 3, '1401')
    await one.ok('studies.bringIn', { ...plain(await fileOf(two, studyId)), way: 'add' })
    expect((await readingsIn(one, runs[1]!.id)).map(({ value }) => value)).toEqual([1401])
  })

  test('gives another name to a run, a session and a place that are taken here', async () => {
    const { one, two, studyId } = await twoWithOne()
    const added = async ({ ok }: TestEngine, value: number) => {
      await ok('imports.commit', {
        studyId,
        fileName: `${value}.csv`,
        text: `run,speed,thickness\nX1,3000,${value}\n`,
      })
    }
    await added(one, 1500)
    await added(two, 1510)
    const done = await one.ok('studies.bringIn', { ...plain(await fileOf(two, studyId)), way: 'add' })
    expect(done).toMatchObject({ runs: 1, readings: 1, renamed: [{ from: 'X1', to: 'X1 b' }] })
    const runs = await one.ok('bench.runs', { studyId })
    expect(runs.filter(({ code }) => code.startsWith('X1')).map(({ code }) => code)).toEqual(['X1', 'X1 b'])
    expect(new Set(runs.map(({ runOrder }) => runOrder)).size).toBe(runs.length)
    await one.ok('history.undo', { studyId })
    expect((await one.ok('bench.runs', { studyId })).map(({ code }) => code)).not.toContain('X1 b')
  })

  test('makes a backup first', async () => {
    const { one, two, studyId, runs } = await twoWithOne()
    await readIn(two, runs[1]!.id, 1, '1600')
    await one.ok('studies.bringIn', { ...plain(await fileOf(two, studyId)), way: 'add' })
    const { backups } = await one.ok('backups.list', {})
    expect(backups[0]?.occasion).toBe('before-adding')
  })
})

test('a copy stands beside the study under identifiers of its own', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.demo', { seed: 5 })
  const before = await hashIn(engine, studyId)
  const { studyId: copy } = await engine.ok('studies.bringIn', {
    ...plain(await fileOf(engine, studyId)),
    way: 'copy',
  })
  expect(copy).not.toBe(studyId)
  expect(await hashIn(engine, studyId)).toBe(before)
  const csv = async (id: string) => (await engine.ok('reports.readingsCsv', { studyId: id })).text
  expect(await csv(copy)).toBe(await csv(studyId))
  const ids = async (id: string) => (await engine.ok('bench.runs', { studyId: id })).map((run) => run.id)
  const own = new Set(await ids(studyId))
  expect((await ids(copy)).some((id) => own.has(id))).toBe(false)
})

test('two studies of one bottle come over one after the other, with what befell the bottle once', async () => {
  const [one, two] = [await testEngine(), await testEngine()]
  const bottle = await one.ok('bottles.keep', { bottle: { name: 'B1', sizeMl: 500 } })
  await one.ok('bottles.note', { bottleId: bottle.id, kind: 'poured', ml: 50 })
  for (const name of ['A', 'B']) {
    const { studyId } = await one.ok('studies.create', { study: { name, bottleId: bottle.id } })
    await two.ok('studies.bringIn', { ...plain(await fileOf(one, studyId)), way: 'new' })
  }
  const events = async ({ ok }: TestEngine) => ok('bottles.events', { bottleId: bottle.id })
  expect(await events(two)).toEqual(await events(one))
})

describe('a file that is none, or not ours', () => {
  test('another way than its study allows is refused', async () => {
    const { one, studyId } = await twoWithOne()
    const file = plain(await fileOf(one, studyId))
    expect(await one.refused('studies.bringIn', { ...file, way: 'new' })).toMatchObject([
      { code: 'studyIsHere' },
    ])
    const empty = await testEngine()
    expect(await empty.refused('studies.bringIn', { ...file, way: 'add' })).toMatchObject([
      { code: 'studyIsNotHere' },
    ])
  })

  test('text, a live database, another program, a newer version, a strange trigger and a strange value are refused', async () => {
    const { one, two, studyId } = await twoWithOne()
    const file = plain(await fileOf(one, studyId))
    const changed = (change: (db: Sqlite.Database) => void) => {
      const db = new Sqlite(Buffer.from(file.bytes, 'base64'))
      change(db)
      const bytes = db.serialize().toString('base64')
      db.close()
      return { fileName: 'odd.evenfilm', bytes }
    }
    const text = (words: string) => ({ fileName: 'a.evenfilm', bytes: Buffer.from(words).toString('base64') })
    await one.engine.close()
    const cases: [string, File, string][] = [
      ['empty', text(''), 'notAStudyFile'],
      ['text', text('run,speed\n'), 'notAStudyFile'],
      ['live', { fileName: 'a.db', bytes: readFileSync(one.file).toString('base64') }, 'notAStudyFile'],
      ['newer', changed((db) => db.pragma('user_version = 99')), 'newerVersion'],
      [
        'trigger',
        changed((db) => db.exec('CREATE TRIGGER t AFTER INSERT ON run BEGIN DELETE FROM reading; END')),
        'notAStudyFile',
      ],
      ['view', changed((db) => db.exec('CREATE VIEW v AS SELECT 1')), 'notAStudyFile'],
      [
        'two',
        changed((db) =>
          db.exec(
            `INSERT INTO study SELECT replace(id, substr(id, 1, 8), '00000000'), ${studyColumns(db)} FROM study`,
          ),
        ),
        'notAStudyFile',
      ],
      [
        'orphan',
        changed((db) => {
          db.pragma('foreign_keys = OFF')
          db.exec('DELETE FROM stage')
        }),
        'studyFileDamaged',
      ],
      ['value', changed((db) => db.exec(`UPDATE study SET program = '{"toString": 1}'`)), 'studyFileOdd'],
      ['null', changed((db) => db.exec(`UPDATE run SET settings = 'null'`)), 'studyFileOdd'],
    ]
    const fresh = await testEngine()
    for (const [what, odd, code] of cases)
      expect(await fresh.refused('studies.bringIn', { ...odd, way: 'new' }), what).toMatchObject([{ code }])
    expect(await fresh.ok('studies.list', {})).toEqual([])
    expect(await two.ok('studies.list', {})).toHaveLength(1)
  })

  test('bytes that were changed anywhere are refused or are harmless, and never a defect', async () => {
    const { one, studyId } = await twoWithOne()
    const { bytes } = await fileOf(one, studyId)
    const good = Buffer.from(bytes, 'base64')
    const random = seeded(7)
    let opened = 0
    for (let i = 0; i < 120; i++) {
      const odd = Buffer.from(good)
      if (i % 3 === 0) odd.fill(0, random.below(odd.length))
      else for (let k = 0; k < 1 + random.below(20); k++) odd[random.below(odd.length)] = random.below(256)
      const cut = i % 5 === 0 ? odd.subarray(0, random.below(odd.length)) : odd
      const answer = openStudyFile(cut, 'odd.evenfilm')
      if (!answer.ok) continue
      opened += 1
      answer.value.db.close()
    }
    expect(opened).toBeLessThan(120)
    expect(Buffer.from(studyFileId.toString(16), 'hex').toString()).toBe('EvFs')
  })
})

const studyColumns = (db: Sqlite.Database) =>
  (db.pragma('table_info(study)') as { name: string }[])
    .map(({ name }) => name)
    .filter((name) => name !== 'id')
    .join(', ')
