import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { continuous, design, plannedStudy, speed, time } from './studies-for-tests.ts'

test('a grid becomes a stage of planned runs in its randomized order', async () => {
  const engine = await testEngine()
  const { studyId, stageId, runs } = await plannedStudy(engine)
  expect(runs).toHaveLength(18)
  expect(runs.map((run) => run.runOrder)).toEqual(Array.from({ length: 18 }, (_, i) => i + 1))
  expect(runs.map((run) => run.code)).toEqual(runs.map((_, i) => `W${String(i + 1).padStart(2, '0')}`))
  for (const run of runs)
    expect(run).toMatchObject({ stageId, state: 'planned', lot: 'A', film: null, readings: 0 })
  const combinations = runs.map(({ settings }) => `${settings.speed} ${settings.time} ${settings.bake}`)
  expect(new Set(combinations).size).toBe(18)
  // Bake temperature is hard to change: each of its settings is one visit to the plate.
  expect(new Set(runs.map((run) => `${run.plateVisit} ${run.settings.bake}`)).size).toBe(3)
  const study = await engine.ok('studies.get', { studyId })
  expect(study.factors.map((factor) => factor.name)).toEqual(['speed', 'time', 'bake'])
  expect(study.stages).toMatchObject([
    { id: stageId, kind: 'grid', title: 'Grid 3 × 2 × 3 of speed, time, bake' },
  ])
  expect(await engine.ok('studies.list', {})).toMatchObject([{ runsPlanned: 18, runsMeasured: 0 }])
})

test('the preview is the plan that is then kept, and keeps nothing itself', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'A' } })
  const preview = await engine.ok('plans.preview', { studyId, factors: [speed, time], design })
  expect(await engine.ok('bench.runs', { studyId })).toEqual([])
  await engine.ok('plans.save', { studyId, factors: [speed, time], design })
  const runs = await engine.ok('bench.runs', { studyId })
  expect(runs.map((run) => run.settings)).toEqual(preview.runs.map((run) => run.settings))
})

test('a stage says how it was drawn', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'A' } })
  const spread = { ...design, kind: 'space' as const, runs: 12 }
  await engine.ok('plans.save', { studyId, factors: [speed, time], design: spread })
  const { stages } = await engine.ok('studies.get', { studyId })
  expect(stages).toMatchObject([{ kind: 'grid', title: 'Spread evenly over speed, time' }])
})

test('a stage of which nothing is coated can be planned anew, in one step', async () => {
  const engine = await testEngine()
  const { studyId, stageId, runs } = await plannedStudy(engine)
  const anew = await engine.ok('plans.save', { studyId, factors: [speed, time], design, replaces: stageId })
  expect(anew.runs).toBe(6)
  const study = await engine.ok('studies.get', { studyId })
  expect(study.factors.map((factor) => factor.name)).toEqual(['speed', 'time'])
  expect(study.stages).toHaveLength(1)
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual(runs)
  expect((await engine.ok('studies.get', { studyId })).factors).toHaveLength(3)
  await engine.ok('history.redo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toHaveLength(6)
})

test('a stage that has been started stays', async () => {
  const engine = await testEngine()
  const { studyId, stageId, runs } = await plannedStudy(engine)
  await engine.ok('bench.updateRun', { runId: runs[4]!.id, change: { state: 'coated' } })
  const [problem] = await engine.refused('plans.save', {
    studyId,
    factors: [speed],
    design,
    replaces: stageId,
  })
  expect(problem).toMatchObject({ code: 'stageStarted', message: expect.stringContaining('W05') })
  expect(await engine.ok('bench.runs', { studyId })).toHaveLength(18)
})

test('a second stage goes on with codes, run order and plate visits of its own', async () => {
  const engine = await testEngine()
  const { studyId, stageId } = await plannedStudy(engine)
  await engine.ok('plans.save', {
    studyId,
    factors: [speed, time, continuous('bake', 'bake temperature', '°C', [95, 105], 2)],
    design,
  })
  const added = (await engine.ok('bench.runs', { studyId })).filter((run) => run.stageId !== stageId)
  expect(added.map((run) => run.code).at(0)).toBe('W19')
  expect(Math.min(...added.map((run) => run.runOrder))).toBe(19)
  expect([...new Set(added.map((run) => run.plateVisit))].sort()).toEqual([4, 5])
})

test('a factor that runs have settings for keeps its unit', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const krpm = { ...speed, unit: 'krpm', low: 2, high: 4 }
  const [problem] = await engine.refused('plans.save', { studyId, factors: [krpm], design })
  expect(problem).toMatchObject({ code: 'factorInUse', column: 'speed' })
  const named = [continuous('thickness', 'other', '', [0, 1], 2)]
  expect(await engine.refused('plans.save', { studyId, factors: named, design })).toMatchObject([
    { code: 'reservedName', column: 'thickness' },
  ])
})

test('a run added by hand has a setting of every factor', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const problems = await engine.refused('plans.addRun', {
    studyId,
    settings: { speed: 'fast', spin: 3 },
    lot: null,
  })
  expect(problems.map((p) => [p.code, p.column])).toEqual([
    ['noSuchFactor', 'spin'],
    ['notANumber', 'speed'],
    ['missingSetting', 'time'],
    ['missingSetting', 'bake'],
  ])
  const settings = { speed: 3100, time: 30, bake: 100 }
  const { runId } = await engine.ok('plans.addRun', { studyId, settings, lot: 'B', note: 'check' })
  const runs = await engine.ok('bench.runs', { studyId })
  expect(runs.at(-1)).toMatchObject({
    id: runId,
    code: 'W19',
    settings,
    lot: 'B',
    note: 'check',
    kind: 'by hand',
  })
})

test('what remains costs less once runs are coated', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  // 18 runs and 2 dummies of 3.5 mL, 15 mL to purge.
  expect(await engine.ok('plans.remaining', { studyId })).toMatchObject({ substrates: 25, resistMl: 85 })
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { state: 'coated' } })
  expect(await engine.ok('plans.remaining', { studyId })).toMatchObject({ substrates: 24, resistMl: 81.5 })
})

test('a design that nobody could coat is refused with the reason', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'A' } })
  const fine = [speed, time].map((factor) => ({ ...factor, levels: 40 }))
  for (const name of ['plans.preview', 'plans.save'] as const)
    expect((await engine.refused(name, { studyId, factors: fine, design }))[0]?.code).toBe('tooManyRuns')
})

test('planned sessions are kept with the runs, and a further stage goes on with their numbers', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Sweep', lots: ['A'] } })
  const inSessions = { ...design, sessions: 2, reference: true, visitOrder: 'cheapest' as const }
  const factors = [speed, time, continuous('bake', 'bake temperature', '°C', [90, 110], 3)]
  await engine.ok('plans.save', { studyId, factors, design: inSessions })
  const runs = await engine.ok('bench.runs', { studyId })
  expect(runs).toHaveLength(18 + 4)
  const first = runs.filter(({ session }) => session === 'Session 1')
  // The recipe of a new study: 3000 rpm and 40 s in the segment that sets the thickness, 100 °C.
  expect([first[0], first.at(-1)]).toMatchObject(
    Array.from({ length: 2 }, () => ({
      kind: 'reference',
      settings: { speed: 3000, time: 40, bake: 100 },
    })),
  )
  const { stages } = await engine.ok('studies.get', { studyId })
  expect(stages[0]?.design).toMatchObject({ sessions: 2, reference: true, visitOrder: 'cheapest' })
  await engine.ok('plans.save', { studyId, factors: [speed, time], design: { ...design, sessions: 1 } })
  const all = await engine.ok('bench.runs', { studyId })
  expect([...new Set(all.map(({ session }) => session))]).toEqual(['Session 1', 'Session 2', 'Session 3'])
  // What remains is counted by session: three times the dummies and the purge.
  const budget = await engine.ok('plans.remaining', { studyId })
  expect(budget).toMatchObject({ openings: 3, purgeMl: 45, substrates: 28 + 3 * 2 + 5 })
})

test('the hours booked and the bottle belong to the study, and the plan says what to drop', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Sweep' } })
  const factors = [speed, time]
  const open = await engine.ok('plans.preview', { studyId, factors, design })
  expect(open.timeline.sessions[0]?.over).toBeNull()
  expect(open.budget.leftInBottleMl).toBeNull()
  await engine.ok('studies.update', { studyId, change: { slotHours: 1, bottleMl: 100 } })
  const booked = await engine.ok('plans.preview', { studyId, factors, design })
  // 2 dummies and 6 runs of 6 min, 6 readings of 4 min; 8 coats of 3.5 mL and 15 mL of purge.
  expect(booked.timeline.sessions[0]).toMatchObject({ finish: 72, over: 12 })
  expect(booked.budget.leftInBottleMl).toBe(100 - 43)
  expect(booked.waysToFit.find(({ fits }) => fits)).toMatchObject({ design: { reading: 'later' }, saves: 24 })
})

test('results can be shown as a ratio to the reference wafers of their session', async () => {
  const engine = await testEngine()
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Days', siteMap: '5' } })
  await engine.ok('plans.save', {
    studyId,
    factors: [speed, time],
    design: { ...design, sessions: 2, reference: true },
  })
  const runs = await engine.ok('bench.runs', { studyId })
  // The second day is 2 % thicker and drifts by 1 % from its first wafer to its last; the recipe gives 1000 nm.
  const dayOf = (run: (typeof runs)[number]) => {
    if (run.session === 'Session 1') return 1
    const place = runs.filter(({ session }) => session === run.session).indexOf(run)
    return 1.02 + (0.01 * place) / 4
  }
  for (const run of runs)
    await engine.ok('bench.enterReadings', {
      runId: run.id,
      unit: 'nm',
      readings: [1, 2, 3, 4, 5].map((site) => ({
        site,
        text: String((run.kind === 'reference' ? 1000 : 1100) * dayOf(run)),
      })),
    })
  const { rows } = await engine.ok('fits.table', { studyId })
  for (const [i, row] of rows.entries())
    if (runs[i]?.kind === 'reference') expect(row.values['ratio to reference']).toBeNull()
    else expect(row.values['ratio to reference']).toBeCloseTo(1.1, 9)
  const { responses } = await engine.ok('fits.models', { studyId, response: 'ratio to reference' })
  expect(responses).toContain('ratio to reference')
  const fit = await engine.ok('fits.fit', {
    studyId,
    response: 'ratio to reference',
    model: '"ratio to reference" ~ speed',
  })
  expect(fit.fit.n).toBe(6)
})
