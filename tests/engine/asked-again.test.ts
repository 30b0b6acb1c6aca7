import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const studies = async ({ ok }: Awaited<ReturnType<typeof testEngine>>) =>
  (await ok('studies.list', {})).map(({ name }) => name)

test('what is asked again under the same key is done once and answered as before, by another engine too', async () => {
  const one = await testEngine()
  const create = [{ study: { name: 'Once' } }, undefined, 'a key'] as const
  const first = await one.engine.call('studies.create', ...create)
  expect(first).toMatchObject({ ok: true })
  expect(await one.engine.call('studies.create', ...create)).toEqual(first)
  const other = await testEngine({ databaseFile: one.file })
  expect(await other.engine.call('studies.create', ...create)).toEqual(first)
  expect(await studies(other)).toEqual(['Once'])
  // Without a key, or under another, it is another study.
  await one.engine.call('studies.create', create[0])
  await one.engine.call('studies.create', create[0], undefined, 'another key')
  expect(await studies(one)).toEqual(['Once', 'Once', 'Once'])
})

test('an undo that is asked again takes back one step', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  for (const text of ['1501', '1502'])
    await engine.ok('bench.enterReadings', {
      runId: runs[0]!.id,
      unit: 'nm',
      readings: [{ site: text === '1501' ? 1 : 2, text }],
    })
  const undo = () => engine.engine.call('history.undo', { studyId }, undefined, 'the undo')
  expect(await undo()).toEqual(await undo())
  const { readings } = await engine.ok('bench.card', { runId: runs[0]!.id })
  expect(readings.map(({ value }) => value)).toEqual([1501])
})

test('what was refused is tried again', async () => {
  const engine = await testEngine()
  const call = (name: string, args: unknown, key: string) => engine.engine.call(name, args, 'page', key)
  expect(await call('studies.create', { study: { name: '' } }, 'k')).toMatchObject({ ok: false })
  expect(await call('studies.create', { study: { name: 'Now' } }, 'k')).toMatchObject({ ok: true })
})

/** Two readings of a new wafer. */
const text = 'wafer,x (mm),y (mm),thickness (nm)\nN1,0,0,1500.2\nN1,10,0,1501.4'

test('an import that is asked again, at once or later, is done once', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Empty' } })
  const commit = (key: string) =>
    engine.engine.call('imports.commit', { studyId, fileName: 'a.csv', text }, 'page', key)
  const [one, two] = await Promise.all([commit('k'), commit('k')])
  expect(one).toMatchObject({ ok: true })
  expect([two, await commit('k')]).toEqual([one, one])
  expect(await engine.ok('imports.list', { studyId })).toHaveLength(1)
})

test('only the last answers are kept', async () => {
  const engine = await testEngine()
  for (let i = 0; i < 205; i++)
    await engine.engine.call('studies.create', { study: { name: `Study ${i}` } }, undefined, `key ${i}`)
  const db = new Sqlite(engine.file, { readonly: true })
  const kept = db.prepare('SELECT key FROM answered ORDER BY id').pluck().all()
  db.close()
  expect(kept).toHaveLength(200)
  expect(kept.at(-1)).toBe('key 204')
})
