import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const texts = ['1500', '1501', '1499', '1502', '1498', '1497', '1503', '1500', '1501']
const at = (repeat: number, by = 0) =>
  texts.map((text, i) => ({ site: i + 1, repeat, text: String(Number(text) + by) }))

/** A planned study with its first run entered three times over. */
async function readThrice() {
  const engine = await testEngine()
  const planned = await plannedStudy(engine)
  const runId = planned.runs[0]!.id
  const enter = (readings: ReturnType<typeof at>, more = {}) =>
    engine.ok('bench.enterReadings', { runId, unit: 'nm', readings, ...more })
  await enter([...at(1), ...at(2, 2), ...at(3, 4)])
  return { ...engine, ...planned, engine, runId, enter, card: () => engine.ok('bench.card', { runId }) }
}

test('readings of one site stand beside each other, and its value is their mean', async () => {
  const { card, ok, enter, refused, runId } = await readThrice()
  const first = await card()
  expect(first.readings.slice(0, 3).map(({ site, repeat, value }) => [site, repeat, value])).toEqual([
    [1, 1, 1500],
    [1, 2, 1502],
    [1, 3, 1504],
  ])
  expect(first.film).toMatchObject({ n: 9, repeatability: { df: 18, exceedsGauge: null } })
  expect(first.film?.mean).toBeCloseTo(1500 + 1 / 9 + 2, 9)
  expect(first.film?.repeatability?.standardDeviation).toBeCloseTo(2, 9)

  // Without its number a reading is the first; a correction touches one repeat alone.
  await enter([{ site: 1, repeat: 2, text: '1505' }])
  await ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 2, text: '1511' }] })
  const corrected = (await card()).readings
  expect(corrected).toHaveLength(27)
  expect(corrected.filter(({ site }) => site === 1).map(({ value }) => value)).toEqual([1500, 1505, 1504])
  expect(corrected.filter(({ site }) => site === 2).map(({ value }) => value)).toEqual([1511, 1503, 1505])
  const twice = { runId, unit: 'nm', readings: [...at(2).slice(0, 1), ...at(2).slice(0, 1)] }
  expect((await refused('bench.enterReadings', twice)).map(({ code }) => code)).toEqual(['duplicateSite'])
})

test('a repeat that is left out leaves its site to the others', async () => {
  const { card, ok } = await readThrice()
  const third = (await card()).readings[2]!
  await ok('bench.excludeReading', { readingId: third.id, reason: 'particle' })
  const { film } = await card()
  expect(film).toMatchObject({ n: 9, repeatability: { df: 17 }, withExcluded: { n: 9 } })
  expect(film?.mean).toBeCloseTo((9 * (1500 + 1 / 9 + 2) - 1) / 9, 9)
})

test('only readings of the stage of the target are summed up and make a run measured', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  await engine.ok('studies.update', { studyId, change: { readAfter: 'spin', readIndex: 1.6 } })
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: at(1, 300) })
  const spun = await engine.ok('bench.card', { runId })
  expect(spun.run.state).toBe('coated')
  expect(spun.readings[0]).toMatchObject({ takenAfter: 'spin', opticalIndex: 1.6 })
  expect(spun.film).toMatchObject({ n: 0, mean: null, otherStages: [{ takenAfter: 'spin', count: 9 }] })

  // At the other stage the site is another reading, not a correction; what an entry says itself comes first.
  const { warnings } = await engine.ok('bench.enterReadings', {
    runId,
    unit: 'nm',
    takenAfter: 'bake',
    opticalIndex: 1.63,
    readings: at(1),
  })
  expect(warnings).toEqual([])
  const baked = await engine.ok('bench.card', { runId })
  expect(baked.run.state).toBe('measured')
  expect(baked.readings).toHaveLength(18)
  expect(baked.film).toMatchObject({ n: 9, otherStages: [{ takenAfter: 'spin', count: 9 }] })
  expect(baked.film?.mean).toBeCloseTo(1500 + 1 / 9, 9)

  // Said otherwise afterwards, the same readings make another film.
  await engine.ok('studies.update', { studyId, change: { targetAfter: 'spin' } })
  expect((await engine.ok('bench.card', { runId })).film?.mean).toBeCloseTo(1800 + 1 / 9, 9)
  expect((await engine.ok('bench.runs', { studyId }))[0]?.film?.mean).toBeCloseTo(1800 + 1 / 9, 9)
})

test('another quantity has no stage and no index unless one is given, and may be repeated', async () => {
  const { ok, runId, studyId } = await readThrice()
  const stress = { runId, unit: 'MPa', quantity: 'stress' }
  await ok('bench.enterReadings', {
    ...stress,
    readings: [
      { site: 1, text: '10' },
      { site: 1, repeat: 2, text: '14' },
    ],
  })
  const { readings } = await ok('bench.card', { runId })
  expect(readings.filter(({ quantity }) => quantity === 'stress')).toMatchObject([
    { takenAfter: null, opticalIndex: null, repeat: 1 },
    { takenAfter: null, opticalIndex: null, repeat: 2 },
  ])
  expect((await ok('bench.runs', { studyId }))[0]?.responses).toEqual({ stress: 12 })
})

test('repeats, stages and indices come back through our own files without loss', async () => {
  const { ok, runs, enter, studyId } = await readThrice()
  await enter(at(1, 300), { takenAfter: 'spin', opticalIndex: 1.6125 })
  await enter(at(1, -200), { takenAfter: 'develop', opticalIndex: null })
  await ok('bench.enterReadings', {
    runId: runs[1]!.id,
    unit: 'nm',
    takenAfter: null,
    readings: at(2, 7),
  })
  await ok('bench.enterReadings', {
    runId: runs[2]!.id,
    unit: 'nm',
    readings: [1, 2].map((repeat) => ({ site: null, xMm: 10.25, yMm: -3, repeat, text: `150${repeat}` })),
  })
  const files = [await ok('reports.runsCsv', { studyId }), await ok('reports.readingsCsv', { studyId })]
  // Defaults of the copy that would change everything if they were taken.
  const copy = (await ok('studies.create', { study: { name: 'Copy', readAfter: 'develop', readIndex: 2 } }))
    .studyId
  for (const file of files) {
    expect((await ok('imports.preview', { studyId: copy, ...file })).problems).toEqual([])
    await ok('imports.commit', { studyId: copy, ...file })
  }
  const contents = async (of: string) => {
    const cards = []
    for (const { id } of await ok('bench.runs', { studyId: of }))
      cards.push(
        (await ok('bench.card', { runId: id })).readings.map(
          ({ id: _, runId: __, supersedes: ___, ...reading }) => reading,
        ),
      )
    return cards
  }
  const before = await contents(studyId)
  expect(before.flat()).toHaveLength(9 * 6 + 2)
  expect(await contents(copy)).toEqual(before)
})

test('rows that repeat a site are refused, and come in as repeats only where a person says so', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const rows = at(1).flatMap(({ site, text }) => [0, 1, 2].map((by) => `W01,${site},${Number(text) + by}`))
  const source = { studyId, fileName: 'scans.csv', text: `run,site,thickness\n${rows.join('\n')}\n` }
  const refused = await engine.ok('imports.preview', source)
  expect(refused.options.repeated).toBe('refused')
  expect(refused.problems).toHaveLength(18)
  expect(refused.problems[0]).toMatchObject({ code: 'repeatedSite', row: 3 })
  expect(refused.problems[0]?.message).toContain('say that these are repeats')

  const chosen = { ...source, options: { repeated: 'repeats' as const } }
  expect(await engine.ok('imports.preview', chosen)).toMatchObject({ problems: [], readings: 27 })
  await engine.ok('imports.commit', chosen)
  const { film, readings } = await engine.ok('bench.card', { runId: runs[0]!.id })
  expect(readings.slice(0, 3).map(({ repeat }) => repeat)).toEqual([1, 2, 3])
  expect(film).toMatchObject({ n: 9, repeatability: { df: 18 } })
  expect(film?.repeatability?.standardDeviation).toBeCloseTo(1, 9)
})

test('where a column numbers the repeats, a number that comes twice is a problem whatever is chosen', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const source = (text: string) => ({
    studyId,
    fileName: 'a.csv',
    text,
    options: { repeated: 'repeats' as const },
  })
  const twice = 'run,site,repeat,thickness\nW01,1,1,1500\nW01,1,2,1501\nW01,1,2,1502\nW01,2,0,1500\n'
  const { problems } = await engine.ok('imports.preview', source(twice))
  expect(problems.map(({ code, row }) => [code, row])).toEqual([
    ['notWhole', 5],
    ['repeatedSite', 4],
  ])
  const right =
    'run,site,repeat,taken after,thickness\nW01,1,2,bake,1501\nW01,1,1,bake,1500\nW01,1,1,spin,1800\n'
  await engine.ok('imports.commit', source(right))
  const { readings } = await engine.ok('bench.card', { runId: runs[0]!.id })
  expect(readings.map(({ repeat, takenAfter, value }) => [repeat, takenAfter, value])).toEqual([
    [1, 'bake', 1500],
    [1, 'spin', 1800],
    [2, 'bake', 1501],
  ])
})

test('maps of one substrate, a row each, are its repeats where a person says so', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const text = 'run,T1,T2,T3\nW01,1500,1510,1520\nW01,1502,1512,1522\n'
  const source = { studyId, fileName: 'maps.csv', text }
  const [refused] = (await engine.ok('imports.preview', source)).problems
  expect(refused).toMatchObject({ code: 'duplicateRun' })
  const options = { repeated: 'repeats', takenAfter: 'develop', opticalIndex: 1.58 } as const
  await engine.ok('imports.commit', { ...source, options })
  const { readings } = await engine.ok('bench.card', { runId: runs[0]!.id })
  expect(readings.map(({ site, repeat, value }) => [site, repeat, value])).toEqual([
    [1, 1, 1500],
    [1, 2, 1502],
    [2, 1, 1510],
    [2, 2, 1512],
    [3, 1, 1520],
    [3, 2, 1522],
  ])
  expect(readings[5]).toMatchObject({ takenAfter: 'develop', opticalIndex: 1.58 })
})

test('the grid and the fit say what was left and that indices differ, another quantity’s fit does not', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  for (const [i, run] of runs.entries()) {
    const speed = run.settings.speed as number
    const by = Math.round(1e5 / Math.sqrt(speed)) - 1500 + (i % 5)
    const opticalIndex = i < 2 ? 1.62 : 1.6
    await engine.ok('bench.enterReadings', { runId: run.id, unit: 'nm', opticalIndex, readings: at(1, by) })
    await engine.ok('bench.enterReadings', {
      runId: run.id,
      unit: 'MPa',
      quantity: 'stress',
      readings: [{ site: null, text: String(10 + speed / 1000 + (i % 3)) }],
    })
  }
  await engine.ok('bench.enterReadings', {
    runId: runs[0]!.id,
    unit: 'nm',
    takenAfter: 'spin',
    readings: at(1, 900),
  })
  const expected = [
    {
      code: 'otherStage',
      message: '9 readings of a run after spin are left: the target is meant after bake.',
    },
    {
      code: 'differentIndex',
      message:
        'Readings that count were taken with different optical indices: 1.6 (144), 1.62 (18). Between the lowest and ' +
        'the highest that is about 1.2 % of the thickness.',
    },
  ]
  expect((await engine.ok('bench.readings', { studyId })).problems).toEqual(expected)
  const fit = (response: string) => engine.ok('fits.fit', { studyId, response, model: `${response} ~ speed` })
  expect((await fit('thickness')).fit.problems).toEqual(expect.arrayContaining(expected))
  const codes = (await fit('stress')).fit.problems.map(({ code }) => code)
  expect(codes.filter((code) => code === 'otherStage' || code === 'differentIndex')).toEqual([])
  const readings = runs.length
  expect((await fit('thickness')).fit.n).toBe(readings)
})
