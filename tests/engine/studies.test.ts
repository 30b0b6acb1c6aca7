import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

test('a study is made with defaults and read back whole', async () => {
  const { ok } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: ' Speed sweep ', targetNm: 1500 } })
  const study = await ok('studies.get', { studyId })
  expect(study).toMatchObject({
    id: studyId,
    name: 'Speed sweep',
    targetNm: 1500,
    toleranceNm: null,
    diameterMm: 100,
    siteMap: '9',
    program: [
      { rpm: 500, ramp: 500, time: 5 },
      { rpm: 3000, ramp: 1000, time: 40 },
    ],
    factors: [],
    stages: [],
    coater: null,
    simulated: false,
    archived: false,
  })
  const [summary] = await ok('studies.list', {})
  expect(summary).toMatchObject({ id: studyId, name: 'Speed sweep', runsPlanned: 0, runsMeasured: 0 })
})

test('identifiers are UUIDs of version 7, which rise with time', async () => {
  const { ok } = await testEngine()
  const ids: string[] = []
  for (let i = 0; i < 20; i++) ids.push((await ok('studies.create', { study: { name: `S${i}` } })).studyId)
  for (const id of ids)
    expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/)
  expect([...ids].sort()).toEqual(ids)
})

test('a study is changed field by field, and put away', async () => {
  const { ok, refused } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: 'A', lots: ['A', 'B'] } })
  await ok('studies.update', { studyId, change: { toleranceNm: 30, lots: ['A', 'B', 'C'] } })
  await ok('studies.setModel', { studyId, model: 'log(thickness) ~ log(speed)' })
  await ok('studies.setArchived', { studyId, archived: true })
  expect(await ok('studies.get', { studyId })).toMatchObject({
    name: 'A',
    toleranceNm: 30,
    lots: ['A', 'B', 'C'],
    model: 'log(thickness) ~ log(speed)',
    archived: true,
  })
  const other = '01890000-0000-7000-8000-000000000000'
  expect((await refused('studies.get', { studyId: other }))[0]?.code).toBe('noSuchStudy')
  expect((await refused('studies.update', { studyId: other, change: {} }))[0]?.code).toBe('noSuchStudy')
})

test('arguments are checked at the door, by field', async () => {
  const { refused, ok } = await testEngine()
  const unnamed = await refused('studies.create', { study: { name: '  ', diameterMm: -1 } })
  expect(unnamed.map((p) => p.column)).toEqual(['study.name', 'study.diameterMm'])
  expect((await refused('studies.create', {}))[0]?.code).toBe('badArgument')
  expect((await refused('toString' as never, {}))[0]?.code).toBe('unknownCall')
  const [edge] = await refused('studies.create', { study: { name: 'A', edgeExclusionMm: 50 } })
  expect(edge).toMatchObject({ code: 'edgeExclusion', column: 'edgeExclusionMm' })
  const coaterId = '01890000-0000-7000-8000-000000000000'
  expect((await refused('studies.create', { study: { name: 'A', coaterId } }))[0]?.code).toBe('noSuchTool')
  expect(await ok('studies.list', {})).toEqual([])
})

test('tools start with limits that nobody has confirmed: 6000 rpm and 300 °C', async () => {
  const { ok, refused } = await testEngine()
  const coater = await ok('tools.saveCoater', { coater: { name: 'C2' } })
  const plate = await ok('tools.saveHotPlate', { hotPlate: { name: 'P1', surfaceOffset: -1.5 } })
  const gauge = await ok('tools.saveGauge', { gauge: { name: 'R1', repeatability: 1 } })
  await ok('tools.saveCoater', {
    coater: { id: coater.id, name: 'C2', maxSpeed: 5000, maxRamp: null, limitsConfirmed: true },
  })
  const tools = await ok('tools.list', {})
  expect(tools.coaters).toEqual([
    {
      id: coater.id,
      name: 'C2',
      maxSpeed: 5000,
      maxRamp: null,
      rampInside: true,
      speedStep: 10,
      limitsConfirmed: true,
    },
  ])
  expect(tools.hotPlates[0]).toMatchObject({
    maxTemperature: 300,
    surfaceOffset: -1.5,
    offsets: [],
    limitsConfirmed: false,
  })
  expect(tools.gauges[0]).toMatchObject({ kind: 'reflectometer', repeatability: 1 })
  const { studyId } = await ok('studies.create', {
    study: { name: 'A', coaterId: coater.id, hotPlateId: plate.id, gaugeId: gauge.id },
  })
  const study = await ok('studies.get', { studyId })
  expect([study.coater?.name, study.hotPlate?.name, study.gauge?.name]).toEqual(['C2', 'P1', 'R1'])
  const missing = '01890000-0000-7000-8000-000000000000'
  const [problem] = await refused('tools.saveGauge', { gauge: { id: missing, name: 'X' } })
  expect(problem?.code).toBe('noSuchTool')
})

test('the program says which version it is and where the data lie', async () => {
  const { ok, file } = await testEngine()
  expect(await ok('application.about', {})).toEqual({
    version: expect.stringMatching(/^\d+\.\d+\.\d+/),
    database: file,
    schema: 1,
    warnings: [],
  })
})

test('an engine that is closed opens nothing again', async () => {
  const { engine, refused } = await testEngine()
  await engine.close()
  expect(await refused('studies.list', {})).toMatchObject([{ code: 'stopped' }])
})

test('runs are found by part of their code in all studies, those of the study changed last first', async () => {
  const engine = await testEngine()
  const one = await plannedStudy(engine)
  const other = await plannedStudy(engine)
  const found = await engine.ok('studies.findRuns', { words: ' w0' })
  expect(found.map(({ code }) => code).slice(0, 9)).toEqual(Array.from({ length: 9 }, (_, i) => `W0${i + 1}`))
  expect(found.map(({ studyId }) => studyId)).toEqual([
    ...Array(9).fill(other.studyId),
    ...Array(9).fill(one.studyId),
  ])
  expect(await engine.ok('studies.findRuns', { words: 'w' })).toHaveLength(20)
  expect(await engine.ok('studies.findRuns', { words: '%' })).toEqual([])
})

test('a tool saved in the form of a study is taken back by its undo, one saved outside by that of no study', async () => {
  const { ok } = await testEngine()
  const { studyId } = await ok('studies.create', { study: { name: 'A' } })
  const names = async () => (await ok('tools.list', {})).coaters.map(({ name }) => name)
  const { id } = await ok('tools.saveCoater', { studyId, coater: { name: 'C1' } })
  await ok('tools.saveCoater', { coater: { name: 'C2' } })
  await ok('tools.saveCoater', { studyId, coater: { id, name: 'C1 anew' } })
  expect((await names()).sort()).toEqual(['C1 anew', 'C2'])
  expect((await ok('history.undo', { studyId: null })).label).toBe('Saved the coater ‘C2’')
  expect(await names()).toEqual(['C1 anew'])
  await ok('history.undo', { studyId })
  expect(await names()).toEqual(['C1'])
  await ok('history.redo', { studyId: null })
  expect((await names()).sort()).toEqual(['C1', 'C2'])
  expect((await ok('history.list', { studyId: null })).map(({ label }) => label)).toEqual([
    'Saved the coater ‘C2’',
  ])
})
