import { join } from 'node:path'
import { expect, test } from 'vitest'
import { testEngine, testFolder } from './engine-in-folder.ts'
import { forked } from './forked-engine.ts'

test('a forked engine says that it is ready, answers by number and tells of changes', async () => {
  const engine = forked(join(testFolder(), 'a.db'))
  // A call that comes before the engine is ready waits for it.
  const early = engine.call('studies.create', { study: { name: 'Early' } })
  await engine.ready
  expect(await early).toMatchObject({ ok: true })
  const [list, unknown] = await Promise.all([engine.call('studies.list', {}), engine.call('no.such', {})])
  expect(list).toMatchObject({ ok: true, value: [{ name: 'Early' }] })
  expect(unknown).toMatchObject({ ok: false, problems: [{ code: 'unknownCall' }] })
  expect(engine.replies.filter((reply) => reply.kind === 'changed')).toHaveLength(1)
  engine.child.send('nonsense')
  engine.child.send({ id: 'x' })
  expect(await engine.call('studies.list', {})).toMatchObject({ ok: true })
  const left = new Promise((done) => engine.child.once('exit', done))
  engine.child.disconnect()
  expect(await left).toBe(0)
})

test('asked to stop before it is ready, it stops', async () => {
  const engine = forked(join(testFolder(), 'a.db'))
  const left = new Promise((done) => engine.child.once('exit', done))
  engine.child.send({ kind: 'stop' })
  expect(await left).toBe(0)
})

test('asked for a sign of life, it gives one', async () => {
  const engine = forked(join(testFolder(), 'a.db'))
  await engine.ready
  engine.child.send({ kind: 'alive' })
  await expect.poll(() => engine.replies.map(({ kind }) => kind)).toContain('alive')
})

test('a file that cannot be opened is a problem in every answer, not a dead engine', async () => {
  const engine = forked(join(testFolder(), 'no such folder', 'a.db'))
  await engine.ready
  expect(await engine.call('studies.list', {})).toMatchObject({
    ok: false,
    problems: [{ code: 'cannotOpen' }],
  })
})

test('an engine killed after an answered write has lost nothing', async () => {
  const file = join(testFolder(), 'a.db')
  const answered: string[] = []
  for (let kill = 0; kill < 3; kill++) {
    const engine = forked(file)
    await engine.ready
    const gone = new Promise((done) => engine.child.once('exit', done))
    for (let i = 0; i < 20; i++) {
      const answer = await engine.call('studies.create', { study: { name: `${kill}/${i}` } })
      answered.push(answer.value.studyId as string)
    }
    // One more is under way when the process ends; it is there whole or not at all.
    engine.call('studies.create', { study: { name: 'under way' } })
    engine.child.kill('SIGKILL')
    await gone
  }
  const { ok } = await testEngine({ databaseFile: file })
  const kept = (await ok('studies.list', {})).map((study) => study.id)
  expect(kept).toEqual(expect.arrayContaining(answered))
  expect(kept.length).toBeLessThanOrEqual(answered.length + 3)
})
