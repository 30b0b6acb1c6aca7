import { expect, test } from 'vitest'
import { demoEngine } from './demo-engine.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { bake, design, plannedStudy, speed, time } from './studies-for-tests.ts'

/** A planned grid of 18 runs of which the first nine are coated. */
async function halfDone(engine: TestEngine) {
  const { studyId, runs } = await plannedStudy(engine)
  for (const run of runs.slice(0, 9))
    await engine.ok('bench.updateRun', { runId: run.id, change: { state: 'coated' } })
  return { studyId, runs }
}

test('what is left of a plan is planned anew around the runs done', async () => {
  const engine = await testEngine()
  const { studyId } = await halfDone(engine)
  const proposal = await engine.ok('plans.replan', { studyId, left: { runs: 5 }, bakeOnly: null })
  expect(proposal).toMatchObject({ done: 9, remaining: 5 })
  expect(proposal.runs).toHaveLength(5)
  expect(proposal.old.map(({ fits }) => fits)).toEqual([...Array(5).fill('yes'), ...Array(4).fill('runs')])
  expect(proposal.proposed.runs).toBe(14)
  // The best five predict no worse than the first five that happened to be planned.
  const { rest, proposed } = proposal
  if (rest.averagePredictionVariance !== null)
    expect(proposed.averagePredictionVariance!).toBeLessThanOrEqual(rest.averagePredictionVariance)
  expect(await engine.ok('plans.replan', { studyId, left: { runs: 5 }, bakeOnly: null })).toEqual(proposal)
})

test('a plate stuck before a second temperature was baked takes every term of the bake away', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const at = runs[0]!.settings.bake as number
  for (const run of runs.slice(0, 4))
    await engine.ok('bench.updateRun', { runId: run.id, change: { state: 'coated' } })
  const proposal = await engine.ok('plans.replan', { studyId, left: { runs: 7 }, bakeOnly: at })
  expect(new Set(proposal.runs.map(({ settings }) => settings.bake))).toEqual(new Set([at]))
  expect(new Set(proposal.runs.map(({ plateVisit }) => plateVisit)).size).toBe(1)
  const lost = proposal.terms.filter(({ proposed }) => !proposed)
  expect(lost.map(({ term, why }) => [term, why])).toEqual([
    ['bake', 'settings'],
    ['speed.bake', 'settings'],
    ['time.bake', 'settings'],
    ['bake^2', 'settings'],
  ])
  expect(proposal.keptModel).toBe('speed + time + speed.time + speed^2')
  for (const { settings, fits } of proposal.old) expect(fits === 'settings').toBe(settings.bake !== at)
})

test('a plate stuck at a temperature between the planned levels still gives runs there', async () => {
  const engine = await testEngine()
  const { studyId } = await halfDone(engine)
  const proposal = await engine.ok('plans.replan', { studyId, left: { runs: 4 }, bakeOnly: 97 })
  expect(proposal.runs.map(({ settings }) => settings.bake)).toEqual([97, 97, 97, 97])
  expect(proposal.old.every(({ fits }) => fits === 'settings')).toBe(true)
})

test('minutes are counted by the bench: a longer slot takes more runs, and none costs more than there is', async () => {
  const engine = await testEngine()
  const { studyId } = await halfDone(engine)
  const short = await engine.ok('plans.replan', { studyId, left: { minutes: 35 }, bakeOnly: 100 })
  const long = await engine.ok('plans.replan', { studyId, left: { minutes: 75 }, bakeOnly: 100 })
  // Six minutes to coat and four to read.
  expect([short.remaining, long.remaining]).toEqual([3, 7])
  const changing = await engine.ok('plans.replan', { studyId, left: { minutes: 75 }, bakeOnly: null })
  expect(changing.budget.minutes).toBeLessThanOrEqual(75)
  expect(
    await engine.refused('plans.replan', { studyId, left: { minutes: 5 }, bakeOnly: null }),
  ).toMatchObject([{ code: 'nothingFits', column: 'minutes' }])
})

test('the proposal takes the place of the open runs in one step, which is undone in one', async () => {
  const engine = await testEngine()
  const { studyId } = await halfDone(engine)
  const before = await engine.ok('bench.runs', { studyId })
  const { runs } = await engine.ok('plans.replan', { studyId, left: { runs: 4 }, bakeOnly: 100 })
  const applied = await engine.ok('plans.applyReplan', { studyId, runs, reason: 'plate stuck at 100 °C' })
  expect(applied).toMatchObject({ dropped: 9, runs: 4 })
  const after = await engine.ok('bench.runs', { studyId })
  const dropped = after.filter(({ state }) => state === 'dropped')
  expect(dropped.map(({ code }) => code)).toEqual(before.slice(9).map(({ code }) => code))
  for (const { note } of dropped) expect(note).toBe('Replaced by the new plan: plate stuck at 100 °C')
  // At the bench the way from run to run passes over them.
  const card = await engine.ok('bench.card', { runId: before[8]!.id })
  expect(card).toMatchObject({ place: 9, of: 13, next: after.find(({ code }) => code === 'W19')?.id })
  const added = after.filter(({ stageId }) => stageId === applied.stageId)
  expect(added.map(({ settings, plateVisit }) => ({ settings, plateVisit }))).toEqual(runs)
  expect(added.map(({ code }) => code)).toEqual(['W19', 'W20', 'W21', 'W22'])
  expect((await engine.ok('studies.get', { studyId })).stages.at(-1)?.title).toBe('Re-planned on the day')
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual(before)
})

test('new runs go into the session of those that they replace, or into the one named', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  await engine.ok('plans.save', { studyId, factors: [speed, time, bake], design: { ...design, sessions: 2 } })
  const sessionsOf = async (stageId: string) =>
    new Set(
      (await engine.ok('bench.runs', { studyId }))
        .filter((run) => run.stageId === stageId)
        .map(({ session }) => session),
    )
  const runs = await engine.ok('bench.runs', { studyId })
  const first = runs.filter(({ session }) => session === 'Session 1')
  // What has no session comes before those that have one, and the first session is half done.
  for (const { id } of [...runs.filter(({ session }) => session === null), ...first.slice(0, 4)])
    await engine.ok('bench.updateRun', { runId: id, change: { state: 'coated' } })
  const left = { runs: 3 }
  const { runs: proposed } = await engine.ok('plans.replan', { studyId, left, bakeOnly: null })
  const { stageId } = await engine.ok('plans.applyReplan', { studyId, runs: proposed, reason: 'late' })
  expect(await sessionsOf(stageId)).toEqual(new Set(['Session 1']))
  await engine.ok('history.undo', { studyId })
  const named = { studyId, runs: proposed, reason: 'late', session: 'Session 2' }
  const other = await engine.ok('plans.applyReplan', named)
  expect(await sessionsOf(other.stageId)).toEqual(new Set(['Session 2']))
})

test('monitor runs and reference wafers stay planned, and a monitor run is no run of the plan', async () => {
  const { engine, studyId } = await demoEngine()
  const [recipe] = await engine.ok('recipes.list', { studyId })
  const monitor = await engine.ok('recipes.monitor', { recipeId: recipe!.id })
  const { factors } = await engine.ok('studies.get', { studyId })
  await engine.ok('plans.save', { studyId, factors, design: { ...design, sessions: 2, reference: true } })
  const planned = (await engine.ok('bench.runs', { studyId })).filter(({ state }) => state === 'planned')
  const kept = planned.filter(({ kind }) => kind === 'monitor' || kind === 'reference')
  expect(kept.map(({ id }) => id)).toContain(monitor.runId)
  expect(kept.length).toBeGreaterThan(2)
  const proposal = await engine.ok('plans.replan', { studyId, left: { runs: 4 }, bakeOnly: null })
  expect(proposal.old.map(({ code }) => code)).toEqual(
    planned.filter((run) => !kept.includes(run)).map(({ code }) => code),
  )
  // Those of the demo that watch its recipe are not counted as done.
  expect(proposal.done).toBe(30)
  const { runs } = proposal
  const { dropped } = await engine.ok('plans.applyReplan', { studyId, runs, reason: 'short day' })
  expect(dropped).toBe(planned.length - kept.length)
  const after = await engine.ok('bench.runs', { studyId })
  for (const { id } of kept) expect(after.find((run) => run.id === id)).toMatchObject({ state: 'planned' })
  const { waiting } = await engine.ok('drift.watch', { recipeId: recipe!.id })
  expect(waiting).toMatchObject([{ runId: monitor.runId }])
})

test('what cannot be is refused with the reason', async () => {
  const engine = await testEngine()
  const { studyId } = await halfDone(engine)
  const left = { runs: 3 }
  const refused = (more: object) => engine.refused('plans.replan', { studyId, left, bakeOnly: null, ...more })
  expect(await refused({ bakeOnly: 150 })).toMatchObject([{ code: 'bakeOutside' }])
  expect(await refused({ forbid: 'speed > 1' })).toMatchObject([{ code: 'nothingFits' }])
  expect(await refused({ forbid: 'pressure > 1' })).toMatchObject([{ code: 'forbid' }])
  const other = await plannedStudy(engine, [speed, time])
  expect(await engine.refused('plans.replan', { studyId: other.studyId, left, bakeOnly: 100 })).toMatchObject(
    [{ code: 'noBake' }],
  )
  const { studyId: bare } = await engine.ok('studies.create', { study: { name: 'Bare' } })
  expect(await engine.refused('plans.replan', { studyId: bare, left, bakeOnly: null })).toMatchObject([
    { code: 'noPlan' },
  ])
  const wrong = [{ settings: { speed: 3000, time: 40 }, plateVisit: null }]
  expect(await engine.refused('plans.applyReplan', { studyId, runs: wrong, reason: 'x' })).toMatchObject([
    { code: 'missingSetting', column: 'bake' },
  ])
})
