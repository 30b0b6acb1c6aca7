import { type ChildProcess, fork } from 'node:child_process'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import type { Reply } from '../../shared/contract.ts'
import { testEngine, testFolder } from './engine-in-folder.ts'

const main = join(import.meta.dirname, '../../electron/engine/main.ts')

/** The engine as a process of its own, as the desktop window starts it. */
function forked(file: string) {
  const child: ChildProcess = fork(main, [file])
  const replies: Reply[] = []
  const waiting = new Set<() => void>()
  child.on('message', (reply: Reply) => {
    replies.push(reply)
    for (const look of waiting) look()
  })
  onTestFinished(() => {
    child.kill('SIGKILL')
  })
  const until = <T>(find: () => T | undefined) =>
    new Promise<T>((done) => {
      const look = () => {
        const found = find()
        if (found === undefined) return
        waiting.delete(look)
        done(found)
      }
      waiting.add(look)
      look()
    })
  let id = 0
  return {
    child,
    replies,
    ready: until(() => replies.find((reply) => reply.kind === 'ready')),
    call(name: string, args: unknown) {
      const own = ++id
      child.send({ id: own, name, args })
      return until(() => replies.find((reply) => reply.kind === 'answer' && reply.id === own)).then(
        (reply) =>
          (reply as Extract<Reply, { kind: 'answer' }>).answer as {
            ok: boolean
            value: Record<string, string>
            problems: { code: string }[]
          },
      )
    },
  }
}

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
