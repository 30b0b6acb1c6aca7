import { expect, test } from 'vitest'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

/** Two planned studies that pour from one bottle, in the session `Mon` of each. */
async function twoStudies(engine: TestEngine) {
  const first = await plannedStudy(engine)
  const second = await plannedStudy(engine)
  const inMon = async ({ studyId, runs }: typeof first, count: number) => {
    for (const { id } of runs.slice(0, count))
      await engine.ok('bench.updateRun', { runId: id, change: { session: 'Mon', state: 'coated' } })
    await engine.ok('studies.update', { studyId, change: { coatMl: 4, purgeMl: 10, dummies: 2 } })
  }
  await inMon(first, 3)
  await inMon(second, 1)
  return { first, second }
}

test('a bottle is made and chosen in one step, and its openings and rest follow over studies', async () => {
  const engine = await testEngine()
  const { first, second } = await twoStudies(engine)
  const { id } = await engine.ok('bottles.keep', {
    studyId: first.studyId,
    session: 'Mon',
    bottle: { name: 'B1', lot: 'A', sizeMl: 250 },
  })
  const [session] = (await engine.ok('sessions.list', { studyId: first.studyId })).sessions
  expect(session).toMatchObject({ name: 'Mon', bottleId: id })
  const state = async () => (await engine.ok('bottles.list', {})).find((bottle) => bottle.id === id)
  // 3 runs and 2 dummies of 4 mL, 10 mL of purge.
  expect(await state()).toMatchObject({ openings: 1, restMl: 250 - 30, outAt: null })
  const other = (await engine.ok('sessions.list', { studyId: second.studyId })).sessions[0]!
  await engine.ok('sessions.keep', { studyId: second.studyId, session: { ...other, bottleId: id } })
  expect(await state()).toMatchObject({ openings: 2, restMl: 250 - 30 - 22 })
  await engine.ok('bottles.note', { bottleId: id, kind: 'poured', ml: 50 })
  expect(await state()).toMatchObject({ openings: 2, restMl: 250 - 30 - 22 - 50 })
  const refused = await engine.refused('bottles.note', { bottleId: id, kind: 'poured' })
  expect(refused).toMatchObject([{ code: 'missingVolume', column: 'ml' }])

  await engine.ok('history.undo', { studyId: second.studyId })
  await engine.ok('history.undo', { studyId: first.studyId })
  expect(await state()).toBeUndefined()
  expect((await engine.ok('sessions.list', { studyId: first.studyId })).sessions[0]?.bottleId).toBeNull()
  await engine.ok('history.redo', { studyId: first.studyId })
  expect(await state()).toMatchObject({ openings: 1, restMl: 250 - 30 - 50 })
})

test('a session pours from the bottle of its study, whichever of them was there first', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const bottleOf = async (name: string) =>
    (await engine.ok('sessions.list', { studyId })).sessions.find((session) => session.name === name)
      ?.bottleId
  const inSession = (at: number, session: string, state: 'planned' | 'coated') =>
    engine.ok('bench.updateRun', { runId: runs[at]!.id, change: { session, state } })
  const chosen = async (name: string) => {
    const { id } = await engine.ok('bottles.keep', { bottle: { name, sizeMl: 250 } })
    await engine.ok('studies.update', { studyId, change: { bottleId: id } })
    return id
  }
  await inSession(0, 'done', 'coated')
  await inSession(1, 'begun', 'coated')
  await inSession(2, 'begun', 'planned')
  const first = await chosen('B1')
  await inSession(3, 'later', 'planned')
  expect([await bottleOf('done'), await bottleOf('begun'), await bottleOf('later')]).toEqual([
    null,
    first,
    first,
  ])
  const bottle = (await engine.ok('bench.card', { runId: runs[3]!.id })).checks.find(
    ({ code }) => code === 'bottle',
  )
  expect(bottle?.state).toBe('within')
  // Another bottle is for what has not been poured.
  const second = await chosen('B2')
  expect([await bottleOf('done'), await bottleOf('begun'), await bottleOf('later')]).toEqual([
    null,
    first,
    second,
  ])
  await engine.ok('history.undo', { studyId })
  expect(await bottleOf('later')).toBe(first)
})

test('the card compares the bottle by what was noted of it, and nothing where none is chosen', async () => {
  const engine = await testEngine()
  const { first } = await twoStudies(engine)
  const { studyId, runs } = first
  await engine.ok('studies.update', {
    studyId,
    change: { resistLimits: { ...(await limitsOf(engine, studyId)), warmUpMinutes: 60, openings: 2 } },
  })
  const runId = runs[3]!.id
  await engine.ok('bench.updateRun', { runId, change: { session: 'Mon' } })
  const found = async () =>
    (await engine.ok('bench.card', { runId })).checks
      .find(({ code }) => code === 'bottle')!
      .findings.map(({ value, limit }) => [value, limit])
  expect(await found()).toEqual([])
  const { id } = await engine.ok('bottles.keep', {
    studyId,
    session: 'Mon',
    bottle: { name: 'B1', sizeMl: 31 },
  })
  // 31 mL less 5 coats and the purge: not enough for one more.
  expect(await found()).toEqual([[1, 4]])
  const halfAnHourAgo = new Date(Date.now() - 30 * 60_000).toISOString()
  await engine.ok('bottles.note', {
    studyId,
    session: 'Mon',
    bottleId: id,
    kind: 'out of the fridge',
    at: halfAnHourAgo,
  })
  for (const _ of [1, 2, 3])
    await engine.ok('bottles.note', { studyId, session: 'Mon', bottleId: id, kind: 'opened' })
  const values = await found()
  expect(values[0]?.[0]).toBeCloseTo(30, 0)
  expect(values.slice(1)).toEqual([
    [3, 2],
    [1, 4],
  ])
  const opened = (await engine.ok('bottles.events', { bottleId: id })).find(({ kind }) => kind === 'opened')
  await engine.ok('events.takeBack', { studyId, eventId: opened!.id })
  expect((await found()).slice(1)).toEqual([[1, 4]])
})

const limitsOf = async (engine: TestEngine, studyId: string) =>
  (await engine.ok('studies.get', { studyId })).resistLimits

test('what is left in the bottle of the study goes into the budget of its plan', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const { id } = await engine.ok('bottles.keep', { bottle: { name: 'B1', sizeMl: 500 } })
  await engine.ok('bottles.note', { bottleId: id, kind: 'poured', ml: 100 })
  await engine.ok('studies.update', { studyId, change: { bottleId: id, bottleMl: 7 } })
  const budget = await engine.ok('plans.remaining', { studyId })
  expect(budget.leftInBottleMl).toBeCloseTo(400 - budget.resistMl, 9)
  await engine.ok('studies.update', { studyId, change: { bottleId: null } })
  expect((await engine.ok('plans.remaining', { studyId })).leftInBottleMl).toBeCloseTo(7 - budget.resistMl, 9)
  const unknown = '00000000-0000-4000-8000-000000000000'
  const refused = await engine.refused('studies.update', { studyId, change: { bottleId: unknown } })
  expect(refused).toMatchObject([{ code: 'noSuchBottle', column: 'bottleId' }])
})

test('a typed code makes or finds its substrate, whose coats are counted over studies', async () => {
  const engine = await testEngine()
  const first = await plannedStudy(engine)
  const second = await plannedStudy(engine)
  const coat = (runId: string, substrate: string) =>
    engine.ok('bench.updateRun', { runId, change: { substrate, state: 'coated' } })
  await coat(first.runs[0]!.id, 'S-12')
  await coat(second.runs[0]!.id, 's-12')
  const history = async () => (await engine.ok('substrates.history', { code: 'S-12' }))!
  const { substrate, entries } = await history()
  expect(substrate).toMatchObject({ code: 'S-12', kind: '' })
  expect(entries).toMatchObject([
    { what: 'coat', code: 'W01', over: null },
    { what: 'coat', code: 'W01', over: 'W01' },
  ])
  expect((await engine.ok('bench.card', { runId: second.runs[0]!.id })).run.substrate).toBe('S-12')

  const { studyId } = first
  await engine.ok('substrates.note', {
    studyId,
    substrateId: substrate.id,
    kind: 'stripped',
    text: 'acetone',
  })
  await engine.ok('substrates.keep', { studyId, substrate: { ...substrate, kind: 'silicon with oxide' } })
  await coat(first.runs[1]!.id, 'S-12')
  expect((await history()).entries).toMatchObject([
    { code: 'W01' },
    { code: 'W01' },
    { what: 'event', kind: 'stripped', text: 'acetone' },
    { code: 'W02', over: null },
  ])
  expect((await history()).substrate.kind).toBe('silicon with oxide')
  await engine.ok('bench.updateRun', { runId: first.runs[2]!.id, change: { substrate: 'S-13' } })
  const taken = await engine.refused('substrates.keep', {
    studyId,
    substrate: { ...substrate, code: 's-13' },
  })
  expect(taken).toMatchObject([{ code: 'nameTaken', column: 'code' }])
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('substrates.history', { code: 'S-13' })).toBeNull()
})

test('when a run was coated is kept, and forgotten where it was not coated after all', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const at = async () => (await engine.ok('bench.card', { runId: runs[0]!.id })).run.coatedAt
  expect(await at()).toBeNull()
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { state: 'coated' } })
  const first = await at()
  expect(first).not.toBeNull()
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { state: 'failed', defect: 'comet' } })
  expect(await at()).toBe(first)
  await engine.ok('bench.updateRun', { runId: runs[0]!.id, change: { state: 'planned' } })
  expect(await at()).toBeNull()
  await engine.ok('history.undo', { studyId })
  expect(await at()).toBe(first)
})

test('a practice study pours nothing from a bottle', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const practice = await engine.ok('plans.practise', { studyId })
  const [run] = await engine.ok('bench.runs', { studyId: practice.studyId })
  await engine.ok('bench.updateRun', { runId: run!.id, change: { session: 'Mon', state: 'coated' } })
  await engine.ok('bottles.keep', {
    studyId: practice.studyId,
    session: 'Mon',
    bottle: { name: 'B1', sizeMl: 100 },
  })
  expect(await engine.ok('bottles.list', {})).toMatchObject([{ openings: 0, restMl: 100 }])
})
