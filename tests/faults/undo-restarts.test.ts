import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { backups } from '../../electron/engine/calls/backups.ts'
import { type CallName, contract } from '../../shared/contract.ts'
import { type Random, seeded } from '../../shared/random.ts'
import { type TestEngine, testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { keptSummaries } from '../engine/kept-summaries.ts'
import { bake, design, speed, time } from '../engine/studies-for-tests.ts'
import { argumentsOf } from './arbitrary-arguments.ts'
import { changeEverything, notTried } from './every-change.ts'
import { knownIn } from './known-in.ts'
import { standingIn } from './standing-in.ts'

const long = Boolean(process.env.EVENFILM_TEST_LONG)
const [sequences, length] = long ? [8, 80] : [1, 10]
/** After how many steps all that stands is looked at. */
const lookEvery = long ? 1 : 10

/** The newest step of a file. */
function lastStep(file: string): { id: number; studyId: string | null; label: string } {
  const db = new Sqlite(file, { readonly: true })
  const found = db.prepare('SELECT id, studyId, label FROM step ORDER BY id DESC LIMIT 1').get()
  db.close()
  return found as ReturnType<typeof lastStep>
}

/** Writers that are drawn; the demo and practice make whole studies, and undo is what is tried. */
const left = new Set(['studies.demo', 'plans.practise', 'plans.applyReplan', 'history.undo', 'history.redo'])
const writers = (Object.keys(contract) as CallName[]).filter(
  (name) => contract[name].writes && !left.has(name),
)

/** What a day at the bench changes, in turn; drawn arguments rarely get so far. */
const usual: ((random: Random, ids: { studyId: string; runIds: string[] }) => [CallName, unknown])[] = [
  ({ uniform }, { studyId }) => ['studies.update', { studyId, change: { targetNm: 1400 + 200 * uniform() } }],
  (_, { studyId }) => [
    'plans.addRun',
    { studyId, settings: { speed: 3000, time: 30, bake: 100 }, lot: null },
  ],
  ({ below }, { runIds }) => [
    'bench.enterReadings',
    {
      runId: runIds[below(runIds.length)],
      unit: 'nm',
      readings: [1, 2, 3].map((site) => ({ site, text: `${1400 + below(200)}` })),
    },
  ],
  ({ below }, { runIds }) => [
    'bench.updateRun',
    { runId: runIds[below(runIds.length)], change: { note: `note ${below(99)}`, lot: 'B' } },
  ],
  ({ below }, { studyId }) => [
    'imports.commit',
    {
      studyId,
      fileName: 'a.csv',
      text: `run,speed,time,bake,thickness\nN${below(1e6)},3000,30,100,1500\nN${below(1e6)},2500,30,100,1600\n`,
    },
  ],
  ({ below }) => ['substrates.keep', { substrate: { code: `S${below(1e6)}` } }],
]

test('every writing call is taken back and made again across restarts, with the same hash each time', async () => {
  const databaseFile = join(testFolder(), 'test.db')
  let engine = await testEngine({ databaseFile })
  const restarted = async () => {
    await engine.engine.close()
    engine = await testEngine({ databaseFile })
  }
  let kept = 0
  /** What is kept of the readings is what they come to; it is asked for, and so worked out, for the next time. */
  const summariesStand = async (studyId: string | null, call: string, after: string) => {
    if (!long && !/^(bench|imports|traces)\./.test(call)) return
    const found = keptSummaries(databaseFile)
    expect(found.wrong, after).toEqual([])
    kept = Math.max(kept, found.kept)
    if (studyId !== null) await engine.engine.call('bench.runs', { studyId })
  }
  const states = [{ call: '', of: null as string | null, standing: standingIn(databaseFile) }]
  await changeEverything(
    () => engine,
    async (name, args) => {
      const before = lastStep(databaseFile)?.id
      const value = await engine.ok(name, args)
      const { id, studyId: of, label } = lastStep(databaseFile)
      expect(id, `${name} has changed something`).not.toBe(before)
      expect(label, `the step of ${name} has words: describeStep`).not.toBe('')
      const standing = states.length % lookEvery === 0 ? standingIn(databaseFile) : ''
      states.push({ call: name, of, standing })
      if (states.length % 25 === 0) await restarted()
      return value
    },
  )
  // The last of them too.
  const last = states.at(-1) as (typeof states)[number]
  last.standing ||= standingIn(databaseFile)
  const done = new Set<string>(states.map(({ call }) => call))
  const writing = (Object.keys(contract) as CallName[]).filter((name) => contract[name].writes)
  const fileCalls = Object.keys(backups)
  expect(
    writing.filter((name) => !done.has(name) && !notTried[name] && !fileCalls.includes(name)),
    'writing calls that tests/faults/every-change.ts does not make yet',
  ).toEqual([])
  for (let at = states.length - 1; at > 0; at--) {
    if (at % 25 === 0) await restarted()
    const { call, of } = states[at] as (typeof states)[number]
    expect((await engine.ok('history.undo', { studyId: of })).label, call).not.toBeNull()
    await summariesStand(of, call, `undo of ${call}`)
    const { standing } = states[at - 1] as (typeof states)[number]
    if (standing) expect(standingIn(databaseFile), `undo down to ${call}`).toBe(standing)
  }
  for (const [i, { call, of, standing }] of states.slice(1).entries()) {
    if (i % 25 === 0) await restarted()
    expect((await engine.ok('history.redo', { studyId: of })).label, call).not.toBeNull()
    await summariesStand(of, call, `redo of ${call}`)
    if (standing) expect(standingIn(databaseFile), `redo up to ${call}`).toBe(standing)
  }
  expect(kept).toBeGreaterThan(5)
}, 120_000)

test('whatever has been changed is taken back and made again step by step across restarts', async () => {
  const done = new Set<string>()
  let steps = 0
  for (let seed = 1; seed <= sequences; seed++) {
    const random = seeded(seed)
    const databaseFile = join(testFolder(), 'test.db')
    const restarted = async (engine?: TestEngine) => {
      await engine?.engine.close()
      return testEngine({ databaseFile })
    }
    let engine = await restarted()
    const { studyId } = await engine.ok('studies.create', { study: { name: 'Sweep', lots: ['A', 'B'] } })
    await engine.ok('plans.save', { studyId, factors: [speed, time, bake], design })
    const hash = async () => (await engine.ok('studies.hash', { studyId })).hash
    const states = [
      { standing: standingIn(databaseFile), hash: await hash(), of: null as string | null, call: '' },
    ]
    let known = await knownIn(engine, studyId)
    for (let tries = 0; states.length <= length && tries < 40 * length; tries++) {
      const runIds = (await engine.ok('bench.runs', { studyId })).map(({ id }) => id)
      const kind = tries < usual.length ? tries : random.below(4 * usual.length)
      const [name, args] = usual[kind]?.(random, { studyId, runIds }) ?? drawn(random)
      const before = lastStep(databaseFile).id
      const answer = await engine.engine.call(name, JSON.parse(JSON.stringify(args)))
      const { id, studyId: of } = lastStep(databaseFile)
      if (!answer.ok || id === before) continue
      done.add(name)
      states.push({ standing: standingIn(databaseFile), hash: await hash(), of, call: name })
      if (states.length % 10 === 0) known = await knownIn(engine, studyId)
      if (random.below(15) === 0) engine = await restarted(engine)
    }
    function drawn({ below }: Random): [CallName, unknown] {
      const name = writers[below(writers.length)] as CallName
      const [args] = fc.sample(argumentsOf(contract[name].args, known), { numRuns: 1, seed: below(1e9) })
      return [name, args]
    }
    steps += states.length - 1
    for (let at = states.length - 1; at > 0; at--) {
      if (random.below(10) === 0) engine = await restarted(engine)
      const step = states[at] as (typeof states)[number]
      const wanted = states[at - 1] as (typeof states)[number]
      expect((await engine.ok('history.undo', { studyId: step.of })).label, step.call).not.toBeNull()
      expect(standingIn(databaseFile), `undo of ${step.call}`).toBe(wanted.standing)
      expect(await hash(), `hash after the undo of ${step.call}`).toBe(wanted.hash)
    }
    for (const step of states.slice(1)) {
      if (random.below(10) === 0) engine = await restarted(engine)
      expect((await engine.ok('history.redo', { studyId: step.of })).label, step.call).not.toBeNull()
      expect(standingIn(databaseFile), `redo of ${step.call}`).toBe(step.standing)
      expect(await hash(), `hash after the redo of ${step.call}`).toBe(step.hash)
    }
    await engine.engine.close()
  }
  if (long) console.log(`${steps} steps of ${done.size} kinds: ${[...done].sort().join(', ')}`)
  expect(steps).toBeGreaterThan((sequences * length) / 2)
  expect(done.size).toBeGreaterThan(4)
}, 1_200_000)
