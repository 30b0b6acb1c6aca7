import { expect, test } from 'vitest'
import type { StudyInput } from '../../shared/contract/things.ts'
import type { Args } from '../../shared/contract.ts'
import { studySites } from '../../shared/film/site-map.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { design, speed } from './studies-for-tests.ts'

const piece = { substrateShape: 'rectangle', widthMm: 60, heightMm: 30, edgeExclusionMm: 5 } as const
const wafer = {
  substrateShape: 'flat',
  diameterMm: 100,
  widthMm: null,
  heightMm: null,
  edgeExclusionMm: 6,
} as const

/** A study on a substrate with runs at three speeds. */
async function studyOn(engine: TestEngine, study: Partial<StudyInput>) {
  const { studyId } = await engine.ok('studies.create', {
    study: { name: 'Shapes', targetNm: 1500, ...study },
  })
  await engine.ok('plans.save', { studyId, factors: [speed], design })
  return { studyId, runs: await engine.ok('bench.runs', { studyId }) }
}

const read = (engine: TestEngine, text: string, more: Partial<Args<'sites.read'>> = {}) =>
  engine.ok('sites.read', { text, substrate: wafer, options: {}, ...more })

test('a rectangle is kept, read on its map, and summed up within its own edge', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await studyOn(engine, { ...piece, siteMap: '9 square' })
  expect(await engine.ok('studies.get', { studyId })).toMatchObject({ ...piece, siteMap: '9 square' })
  const [run] = runs
  const card = await engine.ok('bench.card', { runId: run!.id })
  expect(card.sites[0]).toEqual({ site: 1, xMm: -25, yMm: 10 })
  expect(card.checks.find(({ code }) => code === 'chuck')?.state).toBe('not checked')
  const values = [1510, 1500, 1510, 1505, 1495, 1505, 1510, 1500, 1510]
  const readings = values.map((nm, i) => ({ site: i + 1, text: String(nm) }))
  await engine.ok('bench.enterReadings', { runId: run!.id, unit: 'nm', readings: readings.slice(0, 8) })
  expect((await engine.ok('bench.runs', { studyId }))[0]?.state).not.toBe('measured')
  await engine.ok('bench.enterReadings', { runId: run!.id, unit: 'nm', readings: readings.slice(8) })
  const [row] = await engine.ok('bench.runs', { studyId })
  expect(row?.state).toBe('measured')
  expect(row?.film).toMatchObject({ n: 9, excluded: [], shapeRadius: Math.hypot(30, 15) })
  // A quarter of the area is nearest to the middle, an eighth to each side, a sixteenth to each corner.
  const weights = [1, 2, 1, 2, 4, 2, 1, 2, 1].map((weight) => weight / 16)
  const mean = values.reduce((sum, value, i) => sum + value * (weights[i] as number), 0)
  expect(row?.film?.areaWeightedMean).toBeCloseTo(mean, 9)
})

test('the chuck is held against the short side and half the diagonal of a rectangle', async () => {
  const engine = await testEngine()
  const chuckOf = async (chuckMm: number) => {
    const { runs } = await studyOn(engine, { ...piece, chuckMm })
    const { checks } = await engine.ok('bench.card', { runId: runs[0]!.id })
    const { state, findings } = checks.find(({ code }) => code === 'chuck')!
    return [state, findings.map(({ severity, limit }) => [severity, Number(limit.toFixed(2))])]
  }
  // Common practice, no source: half the diagonal of 60 × 30 mm is 33.5 mm, more than its short side.
  expect(await chuckOf(32)).toEqual(['outside', [['outside', 30]]])
  expect(await chuckOf(25)).toEqual(['within', [['warning', 33.54]]])
  expect(await chuckOf(30)).toEqual(['within', [['warning', 33.54]]])
})

test('a substrate or map on which nothing can be read is refused by its field', async () => {
  const engine = await testEngine()
  const refusal = async (study: Partial<StudyInput>) =>
    (await engine.refused('studies.create', { study: { name: 'A', ...study } })).map(({ code, column }) => [
      code,
      column,
    ])
  expect(await refusal({ substrateShape: 'rectangle', widthMm: 20 })).toEqual([['noSides', 'heightMm']])
  expect(await refusal({ ...piece, edgeExclusionMm: 15 })).toEqual([['edgeExclusion', 'edgeExclusionMm']])
  expect(await refusal({ siteMap: 'own' })).toEqual([['noOwnSites', 'ownSites']])
  const ownSites = { name: 'Mine', sites: [{ site: 1, xMm: 0, yMm: 0 }] }
  const { studyId } = await engine.ok('studies.create', { study: { name: 'A', siteMap: 'own', ownSites } })
  const far = { name: 'Mine', sites: [...ownSites.sites, { site: 2, xMm: 0, yMm: 48 }] }
  expect(await engine.refused('studies.update', { studyId, change: { ownSites: far } })).toMatchObject([
    {
      code: 'beyondEdge',
      column: 'ownSites',
      message: expect.stringContaining('Site 2: The site is 48.0 mm'),
    },
  ])
  await engine.ok('studies.update', { studyId, change: { ownSites: far, edgeExclusionMm: 2 } })
  expect(await engine.refused('studies.update', { studyId, change: { edgeExclusionMm: 3 } })).toMatchObject([
    { code: 'beyondEdge' },
  ])
})

test('an own map is kept by name, and readings go to its sites', async () => {
  const engine = await testEngine()
  const sites = [
    { site: 3, xMm: 10, yMm: 5 },
    { site: 8, xMm: -10, yMm: 5 },
  ]
  const { studyId, runs } = await studyOn(engine, { siteMap: 'own', ownSites: { name: 'Two dies', sites } })
  const study = await engine.ok('studies.get', { studyId })
  expect(study.ownSites).toEqual({ name: 'Two dies', sites })
  expect(studySites(study)).toEqual(sites)
  const enter = (readings: { site: number; text: string }[]) => ({ runId: runs[0]!.id, unit: 'nm', readings })
  expect(await engine.refused('bench.enterReadings', enter([{ site: 1, text: '1500' }]))).toMatchObject([
    { code: 'noSuchSite', message: 'The site map ‘Two dies’ has no site 1.' },
  ])
  await engine.ok(
    'bench.enterReadings',
    enter([
      { site: 3, text: '1500' },
      { site: 8, text: '1502' },
    ]),
  )
  const [run] = await engine.ok('bench.runs', { studyId })
  expect(run).toMatchObject({ state: 'measured', film: { mean: 1501 } })
})

test('sites are read with units and origin as the import reads them', async () => {
  const engine = await testEngine()
  const inMicrometres = await read(engine, 'site,x,y\n1,0,0\n2,44000,0\n3,0,-44000')
  expect(inMicrometres).toMatchObject({ unit: 'µm', origin: 'centre', yAxis: 'up', problems: [] })
  expect(inMicrometres.sites[1]).toEqual({ site: 2, xMm: 44, yMm: 0 })
  const fromCorner = await read(engine, 'point;x_mm;y_mm\n1;50;50\n2;92,5;50\n3;50;6')
  expect(fromCorner).toMatchObject({ origin: 'lower left', problems: [] })
  expect(fromCorner.sites).toEqual([
    { site: 1, xMm: 0, yMm: 0 },
    { site: 2, xMm: 42.5, yMm: 0 },
    { site: 3, xMm: 0, yMm: -44 },
  ])
  const polar = await read(engine, 'r (mm),theta (deg)\n0,0\n40,90')
  expect(polar.sites.map(({ site, xMm, yMm }) => [site, xMm.toFixed(6), yMm.toFixed(6)])).toEqual([
    [1, '0.000000', '0.000000'],
    [2, '0.000000', '40.000000'],
  ])
  const bare = await read(engine, '1\t0\t0\n2\t0.5\t1', { options: { unit: 'inch', yAxis: 'down' } })
  expect(bare.sites[1]).toEqual({ site: 2, xMm: 12.7, yMm: -25.4 })
  const corner = await read(engine, 'x,y\n0.5,0.5\n59,29', {
    substrate: { ...piece, diameterMm: 100, edgeExclusionMm: 0 },
  })
  expect(corner).toMatchObject({ origin: 'lower left', problems: [] })
  expect(corner.sites).toEqual([
    { site: 1, xMm: -29.5, yMm: -14.5 },
    { site: 2, xMm: 29, yMm: 14 },
  ])
})

test('each row that makes no site is named, and the others come in', async () => {
  const engine = await testEngine()
  const rows = ['1,0,0', '2,10,abc', '3,,5', '1,20,0', '5,0,0', '6,0,48', '7,30,0', '8.5,1,1']
  const { sites, problems } = await read(engine, `site,x (mm),y (mm)\n${rows.join('\n')}`)
  expect(sites.map(({ site }) => site)).toEqual([1, 7])
  expect(problems.map(({ row, message }) => [row, message])).toEqual([
    [3, 'Row 3, y (mm): ‘abc’ is no number.'],
    [4, 'Row 4: the position is missing.'],
    [5, 'Row 5: Site 1 stands there twice.'],
    [6, 'Row 6: Site 5 lies where site 1 does.'],
    [7, 'Row 7: Site 6: The site is 48.0 mm from the centre, beyond the edge exclusion at 44 mm.'],
    [9, 'Row 9, site: ‘8.5’ is no whole number.'],
  ])
  expect((await read(engine, 'site,thickness\n1,1500')).problems).toMatchObject([{ code: 'noPositions' }])
  expect((await read(engine, '')).problems).toMatchObject([{ code: 'emptyFile' }])
  expect(
    await engine.refused('sites.read', {
      text: 'x,y\n0,0',
      substrate: { ...wafer, edgeExclusionMm: 50 },
      options: {},
    }),
  ).toMatchObject([{ column: 'edgeExclusionMm' }])
})

test('g: a site at r = 48 mm in a file is flagged, left out, and made no part of the map', async () => {
  const engine = await testEngine()
  const { studyId } = await studyOn(engine, { siteMap: '5' })
  const rows = ['0,0,1500', '44,0,1502', '0,44,1501', '-44,0,1500', '0,-48,1541']
  const source = {
    studyId,
    fileName: 'W01.csv',
    text: `run,x (mm),y (mm),thickness (nm)\n${rows.map((row) => `R01,${row}`).join('\n')}`,
  }
  const codes = await engine.ok('bench.runs', { studyId })
  const text = source.text.replaceAll('R01', codes[0]!.code)
  const preview = await engine.ok('imports.preview', { ...source, text })
  expect(preview.flagged).toMatchObject([
    { code: 'beyondEdge', row: 6, message: expect.stringContaining('48.0 mm from the centre') },
  ])
  await engine.ok('imports.commit', { ...source, text })
  const [run] = await engine.ok('bench.runs', { studyId })
  expect(run?.film).toMatchObject({ n: 4, mean: 1500.75 })
  expect(run?.film?.excluded).toMatchObject([
    { reason: expect.stringContaining('beyond the edge exclusion') },
  ])
  // With an exclusion of 2 mm it counts, and the import says that it may stand in the edge bead.
  await engine.ok('history.undo', { studyId })
  await engine.ok('studies.update', { studyId, change: { edgeExclusionMm: 2, uniformityLimit: 1 } })
  const within = await engine.ok('imports.preview', { ...source, text })
  expect(within.flagged).toEqual([])
  expect(within.warnings).toContainEqual({
    code: 'edgeBead',
    message:
      '1 of 5 sites lies less than 5 mm from the edge, the nearest 2 mm. There an edge bead usually adds 2.7 % to the ' +
      'film (common practice, no source), against a limit of 1 % for the non-uniformity. An edge exclusion of 5 mm ' +
      'keeps clear of it.',
  })
})

test('readings of a rectangle come back from their export', async () => {
  const engine = await testEngine()
  const from = await studyOn(engine, { ...piece, siteMap: '5 line', lineDirection: 90 })
  const readings = [1500, 1501, 1502, 1501, 1500].map((nm, i) => ({ site: i + 1, text: String(nm) }))
  await engine.ok('bench.enterReadings', { runId: from.runs[0]!.id, unit: 'nm', readings })
  const file = await engine.ok('reports.readingsCsv', { studyId: from.studyId })
  const to = await studyOn(engine, { ...piece, siteMap: '5 line', lineDirection: 90 })
  await engine.ok('imports.commit', { studyId: to.studyId, fileName: file.fileName, text: file.text })
  const placesOf = async (runId: string) =>
    (await engine.ok('bench.card', { runId })).readings.map(({ site, xMm, yMm, value }) => [
      site,
      xMm,
      yMm,
      value,
    ])
  expect(await placesOf(to.runs[0]!.id)).toEqual(await placesOf(from.runs[0]!.id))
  expect((await placesOf(to.runs[0]!.id))[0]).toEqual([1, 0, -10, 1500])
})

test('a plan for a rectangle is rehearsed and practised on its own map', async () => {
  const engine = await testEngine()
  const { studyId } = await studyOn(engine, { ...piece, siteMap: '25 square', edgeExclusionMm: 4 })
  const practice = await engine.ok('plans.practise', { studyId, seed: 5 })
  const [run] = await engine.ok('bench.runs', practice)
  await engine.ok('bench.updateRun', { runId: run!.id, change: { state: 'coated' } })
  const card = await engine.ok('bench.card', { runId: run!.id })
  expect(card.readings).toHaveLength(25)
  expect(card.readings[0]).toMatchObject({ site: 1, xMm: -26, yMm: 11 })
  expect(card.film?.excluded).toEqual([])
  // Ordinary shape, bead and noise stay within a few per cent.
  expect(card.film?.nonUniformity.halfRangeOverMean).toBeLessThan(3)
})
