import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import type { Progress } from '../../shared/progress.ts'
import { testEngine, testFolder } from './engine-in-folder.ts'
import { forked } from './forked-engine.ts'
import { longFile } from './long-file.ts'
import { plannedStudy } from './studies-for-tests.ts'

/** Rows that nobody sees and nobody should find. */
function leftovers(file: string) {
  const db = new Sqlite(file, { readonly: true })
  const count = (sql: string) => db.prepare(`SELECT count(*) FROM ${sql}`).pluck().get()
  const found = {
    readings: count('reading'),
    runs: count("run WHERE code LIKE 'N%'"),
    imports: count('import'),
    importing: count('importing'),
    texts: count('importText'),
    stages: count("stage WHERE kind = 'imported'"),
  }
  db.close()
  return found
}
/** On a busy machine each of these takes many times as long, ms. */
const patience = 90_000
const none = { readings: 0, runs: 0, imports: 0, importing: 0, texts: 0, stages: 0 }

test(
  'a long import tells how far it has come, and readings are saved and runs are read meanwhile',
  async () => {
    const told: Progress[] = []
    const { engine, ok } = await testEngine({ onProgress: (progress) => told.push(progress) })
    const { studyId, runs } = await plannedStudy({ ok } as never)
    const empty = (await ok('studies.create', { study: { name: 'Empty' } })).studyId
    const order: string[] = []
    const source = { studyId: empty, fileName: 'long.csv', text: longFile(10_000) }
    const long = engine.call('imports.commit', source, 'page').finally(() => order.push('import'))
    for (let i = 0; i < 5; i++) {
      const readings = [{ site: 1, text: `${1500 + i}` }]
      await ok('bench.enterReadings', { runId: runs[i]!.id, unit: 'nm', readings })
      order.push('readings')
    }
    expect((await ok('bench.runs', { studyId })).filter(({ readings }) => readings > 0)).toHaveLength(5)
    // What is still on its way is seen by nobody.
    if (!order.includes('import')) expect(await ok('bench.runs', { studyId: empty })).toEqual([])
    expect(await long).toMatchObject({ ok: true, value: { runs: 20, readings: 10_000 } })
    expect(order.at(-1)).toBe('import')
    expect(told.length).toBeGreaterThan(1)
    expect(new Set(told.map(({ page, call }) => `${page} ${call}`))).toEqual(new Set(['page imports.commit']))
    for (const { done, of } of told) expect(done).toBeLessThanOrEqual(of)
  },
  patience,
)

test(
  'a cancelled import leaves nothing behind, wherever it was, and the file may come in after it',
  async () => {
    const told: Progress[] = []
    let cancelAt = ''
    const cancel = () => engine.call('application.cancel', { call: 'imports.commit' }, 'page')
    const { engine, ok, file } = await testEngine({
      onProgress: (progress) => {
        told.push(progress)
        if (progress.what === cancelAt) void cancel()
      },
    })
    const { studyId } = await ok('studies.create', { study: { name: 'Empty' } })
    const source = { studyId, fileName: 'long.csv', text: longFile(10_000) }
    for (const what of ['rows read', 'readings kept']) {
      cancelAt = what
      told.length = 0
      const answer = await engine.call('imports.commit', source, 'page')
      // The thread may have told of another part first, and the whole be quicker than the first word of this one.
      if (!told.some((progress) => progress.what === what)) continue
      expect(answer, what).toMatchObject({ ok: false, problems: [{ code: 'cancelled' }] })
      expect(leftovers(file), what).toEqual(none)
      expect(await ok('history.list', { studyId })).toHaveLength(1)
    }
    cancelAt = ''
    expect(told.length).toBeGreaterThan(0)
    expect(await engine.call('imports.commit', source, 'page')).toMatchObject({ ok: true })
  },
  patience,
)

test(
  'a study that is changed while a file comes in keeps the change, and the file leaves nothing',
  async () => {
    const { engine, ok, file } = await testEngine({
      onProgress: ({ what }) => {
        if (what !== 'readings kept' || changed) return
        changed = ok('studies.update', { studyId, change: { diameterMm: 150 } })
      },
    })
    let changed: Promise<unknown> | null = null
    const { studyId } = await ok('studies.create', { study: { name: 'Empty' } })
    const source = { studyId, fileName: 'long.csv', text: longFile(10_000) }
    const answer = await engine.call('imports.commit', source, 'page')
    expect(changed).not.toBeNull()
    await changed
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'changedMeanwhile' }] })
    expect((await ok('studies.get', { studyId })).diameterMm).toBe(150)
    expect(leftovers(file)).toEqual(none)
  },
  patience,
)

test(
  'an engine killed while it brings a file in leaves nothing that is seen, and the next start removes the rest',
  async () => {
    const file = join(testFolder(), 'a.db')
    const engine = forked(file)
    await engine.ready
    const made = await engine.call('studies.create', { study: { name: 'Empty' } })
    const studyId = made.value.studyId as string
    const gone = new Promise((done) => engine.child.once('exit', done))
    engine.child.on('message', (reply: { kind: string; progress?: Progress }) => {
      if (reply.progress?.what === 'readings kept') engine.child.kill('SIGKILL')
    })
    void engine.call('imports.commit', { studyId, fileName: 'long.csv', text: longFile(10_000) }, 'page')
    await gone
    expect(leftovers(file)).toMatchObject({ importing: 1, texts: 0 })
    const { ok } = await testEngine({ databaseFile: file })
    expect(leftovers(file)).toEqual(none)
    expect(await ok('bench.runs', { studyId })).toEqual([])
    expect(await ok('imports.list', { studyId })).toEqual([])
    await ok('imports.commit', { studyId, fileName: 'short.csv', text: longFile(1000) })
    expect((await ok('bench.runs', { studyId })).map(({ readings }) => readings)).toEqual([500, 500])
  },
  patience,
)
