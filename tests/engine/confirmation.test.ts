import { expect, test } from 'vitest'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { demoStudy } from './studies-for-tests.ts'

const goal = { target: 1500, tolerance: 30 }

/** The demo study with a confirmation of its true optimum planned on so many days. */
async function planned(engine: TestEngine, days: number, wafersADay: number) {
  const { studyId, question } = await demoStudy(engine)
  const { dataHash } = await engine.ok('fits.fit', { ...question, overDays: true })
  const settings = { speed: 3280, time: 40, bake: 100 }
  const plan = { ...question, ...goal, settings, days, wafersADay, dataHash }
  const made = await engine.ok('next.planConfirmation', plan)
  const read = async (i: number, nm: number, day: string | null) => {
    const runId = made.runIds[i]!
    // Round and round within 0.2 %, so that the film is even.
    const readings = Array.from({ length: 9 }, (_, s) => ({
      site: s + 1,
      text: (nm * (1 + 0.001 * ((s % 3) - 1))).toFixed(1),
    }))
    await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings })
    if (day !== null) await engine.ok('bench.updateRun', { runId, change: { session: day } })
  }
  const judged = async () => (await engine.ok('next.confirmations', { studyId }))[0]!
  return { studyId, plan, made, read, judged }
}

test('a confirmation is written down before it is measured, and passed when all of it comes out so', async () => {
  const engine = await testEngine()
  const { studyId, plan, made, read, judged } = await planned(engine, 3, 2)
  const runs = (await engine.ok('bench.runs', { studyId })).filter(({ id }) => made.runIds.includes(id))
  expect(runs).toHaveLength(6)
  // The demo keeps a recipe at these settings, and at no others.
  const [kept] = await engine.ok('recipes.list', { studyId })
  expect(new Set(runs.map(({ recipeId }) => recipeId))).toEqual(new Set([kept!.id]))
  for (const run of runs)
    expect(run).toMatchObject({ kind: 'confirmation', state: 'planned', stageId: made.stageId })
  expect(new Set(runs.map(({ block }) => block)).size).toBe(3)
  // Each day is a session of its own, named before anybody can forget it.
  const sessions = runs.map(({ session }) => session)
  expect(new Set(sessions).size).toBe(3)
  expect(sessions).not.toContain(null)
  const { entries } = await engine.ok('next.ledger', { studyId })
  expect(entries.filter(({ runId }) => made.runIds.includes(runId!))).toHaveLength(6)
  const before = await judged()
  expect(entries[0]).toMatchObject({ estimate: before.estimate, lower: before.single[0], measured: null })
  expect(before).toMatchObject({
    settings: plan.settings,
    runsByDay: [2, 2, 2],
    judgement: { verdict: 'not yet' },
  })
  expect(before.chance.both).toBeCloseTo(before.chance.thickness * before.chance.evenness!, 12)
  // A whole set needs a wider interval than one wafer.
  expect(before.simultaneous[0]).toBeLessThan(before.single[0])
  expect(before.simultaneous[1]).toBeGreaterThan(before.single[1])
  // The demo's thickness goes with about the root of the speed.
  expect(before.speed!.slope).toBeGreaterThan(-0.65)
  expect(before.speed!.slope).toBeLessThan(-0.4)

  const films = [1497, 1501, 1503, 1506, 1494, 1498]
  for (const [i, nm] of films.entries()) {
    await read(i, nm, `Day ${20 + Math.floor(i / 2)}`)
    if (i === 2)
      expect((await judged()).judgement).toMatchObject({ verdict: 'not yet', good: { count: 3, of: 3 } })
  }
  const { judgement, ...record } = await judged()
  const { judgement: _, ...written } = before
  expect(record).toEqual(written)
  expect(judgement).toMatchObject({ verdict: 'passed', good: { count: 6, of: 6 } })
  expect(judgement.good.leastShare).toBeCloseTo(0.05 ** (1 / 6), 10)
  expect(judgement.words.join(' ')).toContain('6 of 6 good shows only that at least 60 % of all wafers are')
  const { interval, days } = judgement.release!
  expect(days).toBe(3)
  expect(interval[0]).toBeLessThan(1494)
  expect(interval[1]).toBeGreaterThan(1506)
  expect((await engine.ok('next.ledger', { studyId })).score).toMatchObject({
    verdict: 'too few',
    sessions: [{ wafers: 2 }, { wafers: 2 }, { wafers: 2 }],
  })
  // The readings of the confirmation are data now.
  expect(await engine.refused('next.planConfirmation', plan)).toMatchObject([{ code: 'dataChanged' }])
})

test('a film 4 % too thick is no confirmation, and the speed that would put it right is said', async () => {
  const engine = await testEngine()
  const { plan, read, judged } = await planned(engine, 3, 1)
  for (let i = 0; i < 3; i++) await read(i, 1560 + i, `Day ${20 + i}`)
  const { judgement } = await judged()
  expect(judgement).toMatchObject({ verdict: 'not passed', good: { count: 0, of: 3, leastShare: 0 } })
  expect(judgement.bias!.share).toBeCloseTo(0.04, 2)
  expect(judgement.bias!.significant).toBe(true)
  const { speed } = plan.settings
  // 4 % thicker at an exponent of about a half: 8 % faster.
  expect(judgement.bias!.speed!.at / speed).toBeGreaterThan(1.06)
  expect(judgement.bias!.speed!.at / speed).toBeLessThan(1.1)
})

test('all on one day shows nothing of days; what failed is left out; undo takes the plan away', async () => {
  const engine = await testEngine()
  const { studyId, made, read, judged } = await planned(engine, 2, 2)
  for (let i = 0; i < 3; i++) await read(i, 1500 + i, 'Day 20')
  await engine.ok('bench.updateRun', { runId: made.runIds[3]!, change: { state: 'dropped' } })
  const { judgement } = await judged()
  expect(judgement).toMatchObject({ verdict: 'not yet', good: { count: 3, of: 3 } })
  expect(judgement.runs.map(({ state }) => state)).toEqual(['measured', 'measured', 'measured', 'left out'])
  expect(judgement.words[0]).toContain('in 1 session instead of 2')
  for (let i = 0; i < 8; i++) await engine.ok('history.undo', { studyId })
  expect(await engine.ok('next.confirmations', { studyId })).toEqual([])
})
