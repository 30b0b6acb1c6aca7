import { join } from 'node:path'
import { expect, onTestFinished, test, vi } from 'vitest'
import type { Question } from '../../electron/engine/compute/computations.ts'
import { startWorkers } from '../../electron/engine/compute/workers.ts'
import type { DesignSettings } from '../../shared/contract/things.ts'
import { testEngine, testFolder } from './engine-in-folder.ts'
import { engineBundle, engineSource, forked } from './forked-engine.ts'
import { continuous, design, plannedStudy, speed, time } from './studies-for-tests.ts'

/** A plan that takes seconds: the best 200 runs for a full surface in ten factors. */
const many = Array.from({ length: 10 }, (_, i) => continuous(`f${i}`, 'other', '', [0, 1], 3))
const long: DesignSettings = { ...design, kind: 'optimal', runs: 200 }

const inTurn = () => {
  const order: string[] = []
  const note = <T>(word: string, work: Promise<T>) => work.finally(() => order.push(word))
  return { order, note }
}
const nine = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `${1500 + i}` }))

test('a reading is saved while a long plan is being counted', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const { order, note } = inTurn()
  const preview = note('plan', engine.ok('plans.preview', { studyId, factors: many, design: long }))
  await note('readings', engine.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings: nine }))
  const [row] = await note('runs', engine.ok('bench.runs', { studyId }))
  expect(row).toMatchObject({ state: 'measured', readings: 9 })
  expect((await preview).runs).toHaveLength(200)
  expect(order).toEqual(['readings', 'runs', 'plan'])
})

test('a plan that takes long to count is kept whole, and readings saved meanwhile stay', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const { order, note } = inTurn()
  const save = note('plan', engine.ok('plans.save', { studyId, factors: many, design: long }))
  await note('readings', engine.ok('bench.enterReadings', { runId: runs[0]!.id, unit: 'nm', readings: nine }))
  expect((await save).runs).toBe(200)
  expect(order).toEqual(['readings', 'plan'])
  const all = await engine.ok('bench.runs', { studyId })
  expect(all.map((run) => run.runOrder)).toEqual(Array.from({ length: 218 }, (_, i) => i + 1))
  const labels = (await engine.ok('history.list', { studyId })).map((step) => step.label)
  expect(labels[0]).toMatch(/^Planned: .* 200 runs$/)
  expect(labels[1]).toBe('Entered 9 readings of W01')
})

test('a newer preview of the same page supersedes the older one; other pages and calls go on', async () => {
  const { ok, engine } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: 'A' } })
  const preview = (page?: string, settings = design, factors = [speed, time]) =>
    engine.call('plans.preview', { studyId, factors, design: settings }, page)
  const older = preview('first', long, many)
  const others = [preview('second'), preview()]
  const fit = engine.call('fits.fit', { studyId, response: 'thickness', model: 'thickness ~ 1' }, 'first')
  const newer = preview('first')
  expect(await older).toMatchObject({ ok: false, problems: [{ code: 'superseded' }] })
  for (const each of [...others, newer]) expect(await each).toMatchObject({ ok: true })
  expect(await fit).toMatchObject({ ok: false, problems: [{ code: 'noData' }] })
  // The answer to a question that has been answered already is not superseded any more.
  expect(await preview('first')).toMatchObject({ ok: true })
})

test('an engine that is closed answers what is still being computed, and ends its threads', async () => {
  const workers = startWorkers()
  const { ok, engine } = await testEngine({ workers })
  const { studyId } = await ok('studies.create', { study: { name: 'A' } })
  const preview = engine.call('plans.preview', { studyId, factors: many, design: long })
  await workers.close()
  expect(await preview).toMatchObject({ ok: false, problems: [{ code: 'stopped' }] })
})

test('a thread that fails is a problem, not a hang, and the next question is answered', async () => {
  const said = vi.spyOn(console, 'error').mockImplementation(() => {})
  onTestFinished(() => said.mockRestore())
  const odd = startWorkers({ file: new URL('./odd-worker.ts', import.meta.url), most: 1 })
  onTestFinished(() => odd.close())
  const ask = (input: string, newest?: string) =>
    odd.compute({ computation: 'plan', input } as unknown as Question, newest)
  for (const [how, why] of [
    ['throw', 'the chuck came off'],
    ['exit', 'exit code 3'],
    ['no data', 'no reason was given'],
  ] as const) {
    const [failed, after] = await Promise.all([ask(how), ask('speed')])
    expect(failed, how).toMatchObject({
      ok: false,
      problems: [{ code: 'computationEnded', message: expect.stringContaining(why) }],
    })
    expect(after, how).toEqual({ ok: true, value: 'speed' })
  }
  // With one thread only, a newer question waits for none that it supersedes, whether under way or in the queue.
  const [running, queued, newest] = await Promise.all([
    ask('for ever', 'page'),
    ask('for ever', 'page'),
    ask('time', 'page'),
  ])
  expect([running, queued]).toMatchObject([
    { ok: false, problems: [{ code: 'superseded' }] },
    { ok: false, problems: [{ code: 'superseded' }] },
  ])
  expect(newest).toEqual({ ok: true, value: 'time' })

  const broken = startWorkers({ file: new URL('./no-such-worker.ts', import.meta.url) })
  const none = await broken.compute({ computation: 'plan', input: {} } as unknown as Question)
  expect(none).toMatchObject({ ok: false, problems: [{ code: 'computationEnded' }] })
})

test('a thread that runs out of memory is a plain problem, nothing of it is kept, and the engine lives', async () => {
  const workers = startWorkers({ most: 1, heap: 30 })
  onTestFinished(() => workers.close())
  const { ok, refused } = await testEngine({ workers })
  const { studyId } = await ok('studies.create', { study: { name: 'A' } })
  const rows = Array.from({ length: 60_000 }, (_, i) => `N${i},${i % 49},15${i % 90}.5`)
  const file = { studyId, fileName: 'a.csv', text: ['run,site,thickness', ...rows].join('\n') }
  expect(await refused('imports.commit', file)).toMatchObject([{ code: 'outOfMemory' }])
  expect(await ok('bench.runs', { studyId })).toEqual([])
  // The next question gets a thread of its own.
  const few = { ...file, text: 'run,site,thickness\nN1,1,1500.5\n' }
  expect((await ok('imports.preview', few)).problems).toEqual([])
})

const entries = engineBundle ? [engineBundle] : []
if (process.env.EVENFILM_TEST_LONG || !engineBundle) entries.push(engineSource)

test.for(entries)('the forked engine of %s saves a reading while it counts a long plan', async (entry) => {
  const engine = forked(join(testFolder(), 'a.db'), {}, entry)
  await engine.ready
  const { value } = await engine.call('studies.create', { study: { name: 'A' } })
  const { studyId } = value
  await engine.call('plans.save', { studyId, factors: [speed, time], design })
  const runs = (await engine.call('bench.runs', { studyId })).value as unknown as { id: string }[]
  const { order, note } = inTurn()
  const preview = (page: string) =>
    engine.call('plans.preview', { studyId, factors: many, design: long }, page)
  const superseded = preview('page')
  const plan = note('plan', preview('page'))
  const readings = { runId: runs[0]!.id, unit: 'nm', readings: nine }
  expect(await note('readings', engine.call('bench.enterReadings', readings))).toMatchObject({ ok: true })
  expect(await superseded).toMatchObject({ ok: false, problems: [{ code: 'superseded' }] })
  expect(await plan).toMatchObject({ ok: true })
  expect(order).toEqual(['readings', 'plan'])
  const gone = new Promise((done) => engine.child.once('exit', done))
  void engine.call('plans.preview', { studyId, factors: many, design: long })
  engine.child.send({ kind: 'stop' })
  expect(await gone).toBe(0)
})
