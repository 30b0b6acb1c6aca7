import { expect, test } from 'vitest'
import { meanUncertainty } from '../../shared/film/uncertainty.ts'
import { answerOf, fileWith } from '../cli/evenfilm.ts'
import { shapes } from '../cli/shapes.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'

/** An engine with a study at whose bench things are done, and a gauge. */
async function bench(options: Parameters<typeof testEngine>[0] = {}) {
  const t = await testEngine(options)
  const { studyId } = await t.ok('studies.create', { study: { name: 'Film' } })
  const { id: gaugeId } = await t.ok('tools.saveGauge', { gauge: { name: 'Reflectometer' } })
  return { t, studyId, gaugeId }
}

const gaugeOf = async (t: TestEngine, id: string) => {
  const { gauges } = await t.ok('tools.list', {})
  const gauge = gauges.find((one) => one.id === id)
  if (!gauge) throw new Error('no gauge')
  return gauge
}

const size = { wafers: ['A', 'B'], operators: ['one'], reloads: 3, scans: 2, toleranceNm: 30, note: '' }
/** Values by wafer and loading, two scans each. */
const values = [
  [1500.2, 1500.8, 1501.9, 1502.3, 1499.1, 1499.9],
  [1531.0, 1530.4, 1529.2, 1529.9, 1532.5, 1532.1],
]

function typedAt(wafer: number, reload: number, scan: number) {
  return { wafer, operator: 1, reload, scan, text: String(values[wafer - 1]?.[2 * (reload - 1) + scan - 1]) }
}

test('a gauge study, number by number, over a restart, into the uncertainty of a film', async () => {
  const { t, studyId, gaugeId } = await bench()
  const { id } = await t.ok('gauges.startStudy', { studyId, study: { gaugeId, ...size } })
  const { order, result, problems } = await t.ok('gauges.study', { gaugeStudyId: id })
  expect(order).toHaveLength(6)
  expect(result).toBeNull()
  expect(problems[0]?.code).toBe('noReadings')
  for (const { wafer, reload } of order.slice(0, 4))
    for (const scan of [1, 2])
      await t.ok('gauges.enterReadings', {
        studyId,
        gaugeStudyId: id,
        unit: 'nm',
        readings: [typedAt(wafer, reload, scan)],
      })
  await t.engine.close()

  const again = await testEngine({ databaseFile: t.file })
  const resumed = await again.ok('gauges.study', { gaugeStudyId: id })
  expect(resumed.order).toEqual(order)
  expect(resumed.readings).toHaveLength(8)
  const rest = order
    .slice(4)
    .flatMap(({ wafer, reload }) => [1, 2].map((scan) => typedAt(wafer, reload, scan)))
  await again.ok('gauges.enterReadings', { studyId, gaugeStudyId: id, unit: 'nm', readings: rest })
  const whole = await again.ok('gauges.study', { gaugeStudyId: id })
  // As `aov` of R has them: scans 0.180833 on 6, loadings 3.6275 on 4 degrees of freedom.
  expect(whole.result?.meanSquares.map(({ source, df }) => [source, df])).toEqual([
    ['wafers', 1],
    ['loadings', 4],
    ['scans', 6],
  ])
  expect(whole.result?.meanSquares[1]?.meanSquare).toBeCloseTo(3.6275, 8)
  expect(whole.result?.share?.share).toBeCloseTo(0.138, 2)

  // The file is what `gauge` of the command line reads.
  const file = await again.ok('gauges.studyCsv', { gaugeStudyId: id })
  expect(file.fileName).toMatch(/^Reflectometer gauge study \d{4}-\d{2}-\d{2}\.csv$/)
  const { gauges } = await answerOf(['gauge', fileWith(file.text), '--tolerance', '30'], shapes.gauge)
  expect(gauges).toMatchObject([{ gauge: 'Reflectometer', meanSquares: whole.result?.meanSquares }])

  await again.ok('gauges.useStudy', { studyId, gaugeStudyId: id })
  const gauge = await gaugeOf(again, gaugeId)
  expect(gauge.repeatability).toBeCloseTo(Math.sqrt(0.1808333), 6)
  expect(gauge.reload).toBeCloseTo(Math.sqrt((3.6275 - 0.1808333) / 2), 6)
  expect(gauge.origins.repeatability).toMatchObject({ df: 6 })
  expect(gauge.origins.reload?.from).toMatch(/^gauge study of \d{4}-\d{2}-\d{2}$/)
  const budget = meanUncertainty({ mean: 1500, scatter: null, readingsBySite: [1, 1], gauge })
  expect(budget?.df).toBeGreaterThan(3)
  expect(budget?.df).toBeLessThan(10)

  // A number typed over it came from nobody's study; the others stay as they were.
  await again.ok('tools.saveGauge', { gauge: { ...gauge, reload: 2 } })
  const typed = await gaugeOf(again, gaugeId)
  expect(typed.origins.reload).toBeNull()
  expect(typed.origins.repeatability).toEqual(gauge.origins.repeatability)
})

test('a correction keeps what stood before, an empty text takes it back, and undo brings it again', async () => {
  const { t, studyId, gaugeId } = await bench()
  const { id } = await t.ok('gauges.startStudy', { studyId, study: { gaugeId, ...size } })
  const place = { wafer: 1, operator: 1, reload: 1, scan: 1 }
  const enter = (text: string) =>
    t.ok('gauges.enterReadings', { studyId, gaugeStudyId: id, unit: 'nm', readings: [{ ...place, text }] })
  const texts = async () =>
    (await t.ok('gauges.study', { gaugeStudyId: id })).readings.map(({ text }) => text)
  await enter('1500.1')
  await enter('15001 Å')
  await enter('15001 Å')
  expect(await texts()).toEqual(['15001 Å'])
  await enter('')
  expect(await texts()).toEqual([])
  expect(await t.ok('history.undo', { studyId })).toMatchObject({ label: 'Entered a gauge reading' })
  expect(await texts()).toEqual(['15001 Å'])
  await t.ok('history.undo', { studyId })
  expect(await texts()).toEqual(['1500.1'])
  await t.ok('history.redo', { studyId })
  expect(await texts()).toEqual(['15001 Å'])
})

test('what cannot be read is named, and nothing is taken', async () => {
  const { t, studyId, gaugeId } = await bench()
  const { id } = await t.ok('gauges.startStudy', { studyId, study: { gaugeId, ...size } })
  const readings = [typedAt(1, 1, 1), { wafer: 1, operator: 1, reload: 1, scan: 2, text: '12..5' }]
  const entered = { studyId, gaugeStudyId: id, unit: 'nm' }
  expect(await t.refused('gauges.enterReadings', { ...entered, readings })).toMatchObject([
    { code: 'notANumber', row: 2 },
  ])
  expect(
    await t.refused('gauges.enterReadings', { ...entered, readings: [{ ...typedAt(1, 1, 1), wafer: 3 }] }),
  ).toMatchObject([{ code: 'noSuchPlace' }])
  expect((await t.ok('gauges.study', { gaugeStudyId: id })).readings).toEqual([])
  const start = (change: object) =>
    t.refused('gauges.startStudy', { studyId, study: { gaugeId, ...size, ...change } })
  expect(await start({ wafers: ['A', 'a'] })).toMatchObject([{ code: 'sameName' }])
  expect(await start({ reloads: 1 })).toMatchObject([{ code: 'noReload' }])
})

test('two gauges on the same wafers', async () => {
  const { t, studyId, gaugeId } = await bench()
  const { id: otherId } = await t.ok('tools.saveGauge', { gauge: { name: 'Ellipsometer' } })
  const ids = []
  for (const [gauge, wafers, more] of [
    [gaugeId, ['A', 'B'], 0],
    [otherId, ['b', 'a'], 4],
  ] as const) {
    const { id } = await t.ok('gauges.startStudy', {
      studyId,
      study: { ...size, gaugeId: gauge, wafers: [...wafers] },
    })
    ids.push(id)
    const readings = wafers.flatMap((name, i) =>
      [1, 2].map((reload) => ({
        wafer: i + 1,
        operator: 1,
        reload,
        scan: 1,
        text: String((name.toLowerCase() === 'a' ? 1500 : 1530) + more + reload),
      })),
    )
    await t.ok('gauges.enterReadings', { studyId, gaugeStudyId: id, unit: 'nm', readings })
  }
  const bias = await t.ok('gauges.compare', { first: ids[0] as string, second: ids[1] as string })
  expect(bias.pairs).toEqual([
    { wafer: 'A', first: 1501.5, second: 1505.5 },
    { wafer: 'B', first: 1531.5, second: 1535.5 },
  ])
  expect(bias.difference).toBe(4)
})

test('the log of a check standard goes into the calibration', async () => {
  const { t, studyId, gaugeId } = await bench()
  const { id: standardId } = await t.ok('gauges.saveStandard', {
    studyId,
    standard: { name: 'Step 500', nominalNm: 500, uncertaintyNm: 0.5, note: '' },
  })
  const log = (readings: { day: string; text: string }[]) =>
    t.ok('gauges.enterCheckReadings', {
      studyId,
      gaugeId,
      standardId,
      readings: readings.map((reading) => ({ ...reading, unit: 'nm' })),
    })
  await log([{ day: '2026-03-02', text: '501.2' }])
  expect(await t.refused('gauges.useCheckLog', { studyId, gaugeId, standardId })).toMatchObject([
    { code: 'tooFewDays' },
  ])
  await log([
    { day: '2026-03-04', text: '501.5' },
    { day: '2026-03-03', text: '5009 Å' },
  ])
  const [entry] = await t.ok('gauges.checkLog', { gaugeId })
  const { text } = await t.ok('gauges.checkLogCsv', { gaugeId, standardId: entry!.standard.id })
  expect(text.trim().split('\r\n')).toHaveLength(1 + entry!.readings.length)
  expect(text).toContain(`Reflectometer,${entry!.standard.name},${entry!.readings[0]!.day},`)
  expect(entry?.readings.map(({ value }) => value)).toEqual([501.2, 500.9, 501.5])
  await t.ok('gauges.useCheckLog', { studyId, gaugeId, standardId })
  const gauge = await gaugeOf(t, gaugeId)
  // The certificate, the bias of 1.2 nm, its mean of three days, and how a day differs: 0.3 nm.
  expect(gauge.calibration).toBeCloseTo(Math.hypot(0.5, 1.2, 0.3 / Math.sqrt(3), 0.3) / 500, 10)
  expect(gauge.origins.calibration).toMatchObject({
    from: 'check standard ‘Step 500’, 3 days up to 2026-03-04',
  })

  const ids = entry?.readings.slice(0, 1).map(({ id }) => id) ?? []
  await t.ok('gauges.withdrawCheckReadings', { studyId, readingIds: ids })
  expect((await t.ok('gauges.checkLog', { gaugeId }))[0]?.readings).toHaveLength(2)
  await t.ok('history.undo', { studyId })
  expect((await t.ok('gauges.checkLog', { gaugeId }))[0]?.readings).toHaveLength(3)
  expect(
    await t.refused('gauges.enterCheckReadings', {
      studyId,
      gaugeId,
      standardId,
      readings: [{ day: '2026-03-05', text: 'x', unit: 'nm' }],
    }),
  ).toMatchObject([{ code: 'notANumber', row: 1 }])
})

test('how well a size of study would know each part', async () => {
  const { t } = await bench()
  const reach = await t.ok('gauges.reach', { wafers: 2, operators: 1, reloads: 5, scans: 1 })
  expect(reach).toMatchObject({
    readings: 10,
    parts: [
      { name: 'loading', df: 8 },
      { name: 'wafers', df: 1 },
    ],
  })
  expect(reach.parts[0]?.factors[0]).toBeCloseTo(0.68, 2)
})
