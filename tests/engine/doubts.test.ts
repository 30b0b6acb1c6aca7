import { expect, test } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { demoEngine } from './demo-engine.ts'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const model = 'log(thickness) ~ log(speed) + time + bake'

/** Eighteen runs read off a smooth film with a little scatter, one of them with `odd` times its thickness. */
async function readStudy(odd: { run: number; times: number } | null, day = (_: number) => 1) {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const noise = seeded(4)
  for (const [i, { id, settings }] of runs.entries()) {
    const film =
      1500 *
      (Number(settings.speed) / 3000) ** -0.5 *
      (1 - 0.001 * (Number(settings.time) - 40)) *
      (1 - 0.003 * (Number(settings.bake) - 100))
    const nm = film * (1 + 0.002 * noise.normal()) * (odd?.run === i ? odd.times : 1) * day(i)
    await engine.ok('bench.enterReadings', {
      runId: id,
      unit: 'nm',
      readings: [{ site: null, text: nm.toFixed(1) }],
    })
  }
  return { engine, studyId, runs }
}

test('a run typed in another unit is found, with the likely reason and what the prediction is without it', async () => {
  const { engine, studyId, runs } = await readStudy({ run: 5, times: 10 })
  await engine.ok('bench.updateRun', { runId: runs[5]!.id, change: { note: 'read twice' } })
  const found = await engine.ok('fits.doubts', { studyId, response: 'thickness', model })
  const run = found.doubts.find(({ kind }) => kind === 'outlying run')!
  expect(run.runIds).toEqual([runs[5]!.id])
  expect(run.p).toBeLessThan(0.001)
  expect(run.reasons.join(' ')).toContain('about 10 times what is expected: another unit?')
  expect(run.reasons).toContain('noted: read twice')
  // Where the fit with the slip puts 1500 nm, the film without it is some hundred nm thinner.
  expect(found.estimate).toBeCloseTo(1500, 3)
  expect(run.without!).toBeLessThan(1400)
})

test('two wafers whose readings were exchanged are named as a pair, before each of them as an outlying run', async () => {
  const { engine, studyId, runs } = await readStudy(null)
  const film = async (i: number) => (await engine.ok('bench.runs', { studyId }))[i]!.film!.mean!
  const [early, late] = [await film(1), await film(16)]
  expect(Math.abs(Math.log(early / late))).toBeGreaterThan(0.03)
  for (const [i, nm] of [[1, late] as const, [16, early] as const])
    await engine.ok('bench.enterReadings', {
      runId: runs[i]!.id,
      unit: 'nm',
      readings: [{ site: null, text: nm.toFixed(1) }],
    })
  const { doubts } = await engine.ok('fits.doubts', { studyId, response: 'thickness', model })
  expect(doubts[0]).toMatchObject({ kind: 'exchanged wafers', runIds: [runs[1]!.id, runs[16]!.id] })
  expect(doubts[0]!.sentence).toContain(`Exchanging ${runs[1]!.code} and ${runs[16]!.code}`)
})

test('a study with nothing wrong and one session: nothing is found, and what one session cannot tell is said', async () => {
  const { engine, studyId } = await readStudy(null)
  const found = await engine.ok('fits.doubts', { studyId, response: 'thickness', model })
  expect(found.doubts).toEqual([])
  expect(found.clear.join(' ')).toContain('No single run lies further out than chance explains.')
  expect(found.notJudged.join(' ')).toContain('one session')
  expect(found.notJudged.join(' ')).toContain('No settings were repeated')
  expect(Math.abs(found.estimate! - 1500)).toBeLessThan(10)
})

test('openings, age of the bottle and operator of each session are held against how sessions differ', async () => {
  const { engine, studyId, runs } = await readStudy(null)
  const bottle = { name: 'B1', resist: 'R', lot: 'A', sizeMl: 500, expires: '', openedFirst: '2026-03-01' }
  const { id: bottleId } = await engine.ok('bottles.keep', { studyId, bottle })
  for (const [i, { id }] of runs.entries())
    await engine.ok('bench.updateRun', { runId: id, change: { session: `day ${i % 6}` } })
  for (let day = 0; day < 6; day++)
    await engine.ok('sessions.keep', {
      studyId,
      session: {
        name: `day ${day}`,
        day: `2026-03-${10 + 2 * day}`,
        operator: day % 2 === 0 ? 'A' : 'B',
        roomTemperature: null,
        humidity: null,
        bottleId,
        note: '',
      },
    })
  const found = await engine.ok('fits.doubts', {
    studyId,
    response: 'thickness',
    model: 'log(thickness) ~ log(speed)',
  })
  expect(found.explained.map(({ name }) => name).sort()).toEqual([
    'days since the bottle was opened, between sessions',
    'openings of the bottle, between sessions',
    'operator, between sessions',
  ])
  const age = found.explained.find(({ name }) => name.startsWith('days'))!
  expect(age.withRunOrder).toBeCloseTo(1, 6)
  expect(age.missing).toBe(0)
})

test('the demo study is looked at over its sessions; a fit without degrees of freedom is left alone', async () => {
  const { engine, question } = await demoEngine()
  const found = await engine.ok('fits.doubts', { ...question, model: `${question.model} + lot` })
  for (const doubt of found.doubts) expect(doubt.sentence).toMatch(/\.$/)
  expect(found.clear.length + found.doubts.length).toBeGreaterThan(2)
  expect(found.at.speed).toBeGreaterThan(3000)
})

test('a step from one session to the next is no doubt of the runs within them', async () => {
  const { engine, studyId, runs } = await readStudy(null, (i) => (i < 9 ? 1 : 1.015))
  const kinds = async () => {
    const { doubts } = await engine.ok('fits.doubts', { studyId, response: 'thickness', model })
    return doubts.map(({ kind }) => kind)
  }
  expect(await kinds()).toContain('neighbours alike')
  for (const [i, { id }] of runs.entries())
    await engine.ok('bench.updateRun', { runId: id, change: { session: i < 9 ? 'A' : 'B' } })
  expect(await kinds()).not.toContain('neighbours alike')
})
