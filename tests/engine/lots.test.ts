import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { demoEngine } from './demo-engine.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { demoStudy, plannedStudy } from './studies-for-tests.ts'

/** The demo's comparison of its two lots, as Lots asks for it. */
async function compared(engine: TestEngine) {
  const { studyId } = await demoStudy(engine)
  const asked = {
    studyId,
    response: 'thickness',
    model: 'log(thickness) ~ log(speed) + session',
    by: 'lot',
    target: 1500,
    margin: 0.01,
  }
  return { studyId, asked, answer: await engine.ok('lots.compare', asked) }
}

test('a person decides on a lot and signs: kept with the numbers and the data that said so, and undone only whole', async () => {
  const engine = await testEngine()
  const { studyId, asked, answer } = await compared(engine)
  expect(answer.fittedCurves).toBe('separate')
  const signed = {
    ...asked,
    lot: 'B',
    decision: 'correct speed' as const,
    who: 'M. Grau',
    why: 'Thicker than the margin allows.',
    dataHash: answer.dataHash,
  }
  await engine.ok('lots.decide', signed)
  const [kept] = await engine.ok('lots.decisions', { studyId })
  const { group: _, ...shift } = answer.shifts[0]!
  expect(kept).toMatchObject({
    lot: 'B',
    against: 'A',
    decision: 'correct speed',
    who: 'M. Grau',
    dataHash: answer.dataHash,
    numbers: { ...shift, target: 1500, margin: 0.01, level: 0.95, model: asked.model },
  })
  await engine.ok('lots.decide', { ...signed, decision: 'do not use', why: 'The next bottle is streaky.' })
  const both = await engine.ok('lots.decisions', { studyId })
  expect(both.map(({ decision }) => decision)).toEqual(['do not use', 'correct speed'])
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('lots.decisions', { studyId })).toEqual([kept])
  await engine.ok('history.redo', { studyId })
  expect(await engine.ok('lots.decisions', { studyId })).toEqual(both)

  const db = new Database(engine.file)
  expect(() => db.prepare("UPDATE lotDecision SET who = 'somebody'").run()).toThrow('never changed')
  expect(() => db.prepare('DELETE FROM lotDecision').run()).toThrow('never deleted')
  db.close()
})

test('nothing is signed on data that have changed, on a lot not compared, or without a name and a reason', async () => {
  const engine = await testEngine()
  const { studyId, asked, answer } = await compared(engine)
  const signed = {
    ...asked,
    lot: 'B',
    decision: 'accept' as const,
    who: 'M. Grau',
    why: 'Equal.',
    dataHash: answer.dataHash,
  }
  expect(await engine.refused('lots.decide', { ...signed, lot: 'C' })).toMatchObject([{ code: 'unknownLot' }])
  for (const missing of [{ who: ' ' }, { why: '' }])
    expect((await engine.refused('lots.decide', { ...signed, ...missing })).length).toBeGreaterThan(0)
  const runs = await engine.ok('bench.runs', { studyId })
  const last = runs.filter(({ lot, state }) => lot === 'B' && state === 'measured').at(-1)!
  await engine.ok('bench.updateRun', { runId: last.id, change: { excluded: 'Dropped on the floor.' } })
  expect(await engine.refused('lots.decide', signed)).toMatchObject([{ code: 'dataChanged' }])
  expect(await engine.ok('lots.decisions', { studyId })).toEqual([])
})

test('a lot check is planned as a stage of one session, old, new, new, old, with the chance that it tells', async () => {
  const engine = await testEngine()
  const { studyId, asked } = await compared(engine)
  const model = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time + lot'
  const check = await engine.ok('lots.check', {
    studyId,
    response: asked.response,
    model,
    margin: 0.01,
  })
  expect(check.chances.map(({ runs }) => runs)).toEqual([3, 4, 5, 6, 7, 8, 9, 10])
  const chances = check.chances.map(({ chance }) => chance)
  expect(chances).toEqual([...chances].sort((a, b) => a - b))
  expect(check.deviation).toBeGreaterThan(0.001)
  expect(check.deviation).toBeLessThan(0.006)
  expect(check.settings).toHaveProperty('speed')

  const before = await engine.ok('bench.runs', { studyId })
  const { stageId, session, runs } = await engine.ok('lots.addCheck', {
    studyId,
    lot: 'C',
    against: 'A',
    each: 3,
    settings: check.settings,
  })
  const planned = (await engine.ok('bench.runs', { studyId })).filter((run) => run.stageId === stageId)
  expect(runs).toBe(6)
  expect(planned.map(({ lot }) => lot)).toEqual(['A', 'C', 'C', 'A', 'A', 'C'])
  expect(new Set(planned.map((run) => run.session))).toEqual(new Set([session]))
  expect(before.map((run) => run.session)).not.toContain(session)
  for (const { settings, state } of planned) {
    expect(settings).toEqual(check.settings)
    expect(state).toBe('planned')
  }
  const study = await engine.ok('studies.get', { studyId })
  expect(study.lots).toContain('C')
  expect(study.stages.at(-1)).toMatchObject({ kind: 'lot check', title: 'Check of lot C against A' })
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual(before)
})

test('a lot check of unread runs, or of a lot against itself, is refused', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const model = 'log(thickness) ~ log(speed)'
  expect(
    await engine.refused('lots.check', { studyId, response: 'thickness', model, margin: 0.01 }),
  ).toMatchObject([{ code: 'noData' }])
  const twice = { studyId, lot: 'A', against: 'A', each: 3, settings: { speed: 3000, time: 40, bake: 100 } }
  expect(await engine.refused('lots.addCheck', twice)).toMatchObject([{ code: 'sameLot' }])
})

test('lots over all studies of a resist: each against the reference of its own study, archived studies left out', async () => {
  const { engine, studyId } = await demoEngine()
  const resist = 'K-15'
  await engine.ok('studies.update', { studyId, change: { resist } })
  const alone = await engine.ok('lots.history', { studyId })
  expect(alone.resist).toBe(resist)
  expect(alone.lots).toMatchObject([{ studyId, lot: 'B', reference: 'A', daysHeldApart: true }])
  const [shift] = alone.lots
  expect(shift!.lower!).toBeLessThan(1.018)
  expect(shift!.upper!).toBeGreaterThan(1.01)
  expect(shift!.day).toMatch(/^\d{4}-\d{2}-\d{2}$/)

  const other = (await demoStudy(engine)).studyId
  await engine.ok('studies.update', { studyId: other, change: { resist: ' k-15 ' } })
  expect((await engine.ok('lots.history', { studyId })).lots.map((lot) => lot.studyId).sort()).toEqual(
    [studyId, other].sort(),
  )
  await engine.ok('studies.setArchived', { studyId: other, archived: true })
  // The archived one still tells how days differ on the same tools.
  const left = (await engine.ok('lots.history', { studyId })).lots
  expect(left).toMatchObject([{ studyId, lot: 'B', reference: 'A', daysHeldApart: true }])
  expect(left[0]!.ratio).toBeCloseTo(shift!.ratio, 2)
  await engine.ok('studies.update', { studyId, change: { resist: 'another' } })
  expect((await engine.ok('lots.history', { studyId })).lots).toHaveLength(1)
})
