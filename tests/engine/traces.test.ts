import { expect, test } from 'vitest'
import { computedTrace } from '../unit/film/computed-trace.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

/** A computed scratch of known depth as the file of an instrument; invented data. */
function scratch(depth: number, seed: number, more: { length?: number; spacing?: number } = {}) {
  const points = computedTrace({
    step: -depth,
    edges: [500, 700],
    noise: 4,
    tilt: 0.5,
    spacing: 2,
    seed,
    ...more,
  })
  const lines = points.map(({ position, height }) => `${position};${(height * 10).toFixed(1)}`)
  return {
    fileName: `scan ${seed}.txt`,
    text: ['Stylus force;3 mg', 'Lateral (µm);Profile (Å)', ...lines].join('\r\n'),
  }
}

async function withScans(engine: TestEngine, site: number | null = 3) {
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const files = [scratch(1500, 1), scratch(1502, 2), scratch(1504, 3)]
  const { traceIds } = await engine.ok('traces.import', { runId, site, files })
  return { studyId, runId, traceIds }
}
const listed = (engine: TestEngine, runId: string) => engine.ok('traces.list', { runId })

test('scans are kept whole, evaluated, and their mean becomes the reading of the site', async () => {
  const engine = await testEngine()
  const { studyId, runId, traceIds } = await withScans(engine)
  const { scans, sites } = await listed(engine, runId)
  expect(scans.map(({ id, heightUnit, points }) => [id, heightUnit, points])).toEqual(
    traceIds.map((id) => [id, 'Å', 601]),
  )
  scans.forEach(({ found }, i) => {
    expect(found?.kind).toBe('groove')
    expect(Math.abs((found?.step ?? 0) + 1500 + 2 * i)).toBeLessThan(3 * (found?.standardUncertainty ?? 0))
  })
  expect(sites).toMatchObject([{ site: 3, mean: { n: 3 }, kept: null }])
  const points = await engine.ok('traces.points', { traceId: traceIds[0]! })
  expect(points.positions.slice(0, 3)).toEqual([0, 2, 4])
  expect(points.heights).toHaveLength(601)

  const { readingId, value } = await engine.ok('traces.keep', { runId, site: 3 })
  expect(value).toBeCloseTo(-(sites[0]?.mean?.step ?? 0), 1)
  const card = await engine.ok('bench.card', { runId })
  expect(card.readings).toMatchObject([{ id: readingId, site: 3, quantity: 'thickness', unit: 'nm', value }])
  // One site of nine is not the whole map.
  expect(card.run.state).toBe('coated')
  expect((await listed(engine, runId)).sites[0]?.kept).toEqual({ readingId, value, scans: traceIds })

  await engine.ok('history.undo', { studyId })
  expect((await engine.ok('bench.card', { runId })).readings).toEqual([])
  expect((await listed(engine, runId)).sites[0]?.kept).toBeNull()
  await engine.ok('history.redo', { studyId })
  expect((await listed(engine, runId)).sites[0]?.kept).toEqual({ readingId, value, scans: traceIds })
})

test('undoing an import takes the scans away, redoing brings them back with their points', async () => {
  const engine = await testEngine()
  const { studyId, runId, traceIds } = await withScans(engine)
  await engine.ok('history.undo', { studyId })
  expect(await listed(engine, runId)).toEqual({ scans: [], sites: [] })
  expect(await engine.refused('traces.points', { traceId: traceIds[0] })).toMatchObject([
    { code: 'noSuchTrace' },
  ])
  await engine.ok('history.redo', { studyId })
  expect((await listed(engine, runId)).scans).toHaveLength(3)
  expect((await engine.ok('traces.points', { traceId: traceIds[2]! })).heights).toHaveLength(601)
})

test('regions chosen by hand stay with the scan, and a kept reading is superseded', async () => {
  const engine = await testEngine()
  const { studyId, runId, traceIds } = await withScans(engine)
  const first = await engine.ok('traces.keep', { runId, site: 3 })
  const regions = { kind: 'step' as const, edges: [510, 690] as [number, number] }
  await engine.ok('traces.evaluate', { traceIds: [traceIds[1]!], choice: { regions, bow: true } })
  const { scans } = await listed(engine, runId)
  expect(scans[1]).toMatchObject({ regions, bow: true, found: { edges: [510, 690], width: 180 } })
  expect(scans[0]).toMatchObject({ regions: null, bow: false })
  const draft = { traceId: traceIds[0]!, choice: { regions, bow: false } }
  const second = await engine.ok('traces.keep', { runId, site: 3, draft })
  expect((await listed(engine, runId)).scans[0]?.regions).toEqual(regions)
  const { readings } = await engine.ok('bench.card', { runId })
  expect(readings).toMatchObject([{ id: second.readingId, supersedes: first.readingId }])
  // One step: both the regions and the reading go back.
  await engine.ok('history.undo', { studyId })
  expect((await listed(engine, runId)).scans[0]?.regions).toBeNull()
  expect((await engine.ok('bench.card', { runId })).readings[0]?.id).toBe(first.readingId)
})

test('a scan is left out of the mean with a reason, and taken in again', async () => {
  const engine = await testEngine()
  const { runId, traceIds } = await withScans(engine)
  const all = (await listed(engine, runId)).sites[0]?.mean
  await engine.ok('traces.leaveOut', { traceId: traceIds[2]!, reason: 'the stylus jumped' })
  const two = await listed(engine, runId)
  expect(two.sites[0]?.mean?.n).toBe(2)
  expect(two.scans[2]?.excluded).toBe('the stylus jumped')
  await engine.ok('traces.leaveOut', { traceId: traceIds[2]!, reason: null })
  expect((await listed(engine, runId)).sites[0]?.mean).toEqual(all)
  expect((await engine.refused('traces.leaveOut', { traceId: traceIds[2], reason: ' ' }))[0]?.code).toBe(
    'badArgument',
  )
})

test('a scan without a step is kept and said so; it keeps the mean back until it is left out', async () => {
  const engine = await testEngine()
  const { runId } = await withScans(engine, null)
  const flat = Array.from({ length: 300 }, (_, i) => `${i},${(i * 7) % 5}`).join('\n')
  const { traceIds } = await engine.ok('traces.import', {
    runId,
    site: null,
    files: [{ fileName: 'flat.csv', text: `position (µm),height (nm)\n${flat}` }],
  })
  const { scans, sites } = await listed(engine, runId)
  expect(scans[3]?.found).toBeNull()
  expect(scans[3]?.problem).toMatch(/stands out/)
  expect(sites).toMatchObject([{ site: null, mean: null }])
  expect(await engine.refused('traces.keep', { runId, site: null })).toMatchObject([{ code: 'noStep' }])
  await engine.ok('traces.leaveOut', { traceId: traceIds[0]!, reason: 'missed the scratch' })
  const { value } = await engine.ok('traces.keep', { runId, site: null })
  expect(Math.abs(value - 1502)).toBeLessThan(3)
})

test('a failed run stays failed when its step height is kept', async () => {
  const engine = await testEngine()
  const { runId } = await withScans(engine)
  await engine.ok('bench.updateRun', { runId, change: { state: 'failed', defect: 'comets' } })
  await engine.ok('traces.keep', { runId, site: 3 })
  expect((await engine.ok('bench.card', { runId })).run).toMatchObject({ state: 'failed', defect: 'comets' })
})

test('what is wrong with files is named, and nothing is kept', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const files = [scratch(1500, 1), { fileName: 'bad.csv', text: 'position,height\n1,2\n' }]
  const problems = await engine.refused('traces.import', { runId, site: 1, files })
  expect(problems).toMatchObject([{ code: 'unknownColumn' }])
  expect(problems[0]?.message).toContain('bad.csv')
  expect((await listed(engine, runId)).scans).toEqual([])
  expect(await engine.refused('traces.import', { runId, site: 10, files: [scratch(1500, 1)] })).toMatchObject(
    [{ code: 'noSuchSite' }],
  )
  await engine.ok('traces.import', { runId, site: 1, files: [scratch(1500, 1)] })
  expect(await engine.refused('traces.import', { runId, site: 2, files: [scratch(1500, 1)] })).toMatchObject([
    { code: 'sameScan' },
  ])
})

test('files that do not say all are looked at first, and read as a person settles', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const heights = Array.from({ length: 40 }, (_, i) => (i > 12 && i < 26 ? '3,500' : '2,000'))
  const bare = { fileName: 'bare.txt', text: heights.map((height, i) => `${i};${height}`).join('\n') }
  const look = (more: object = {}) =>
    engine.ok('traces.preview', { files: [bare, scratch(1500, 1)], ...more })
  const [doubtful, whole] = await look()
  expect(doubtful).toMatchObject({ points: 0, first: [], problems: [{ code: 'ambiguousDecimal' }] })
  expect(whole).toMatchObject({ problems: [], positionUnit: 'µm', heightUnit: 'Å', points: 601 })
  expect(whole!.first[0]).toMatchObject({ row: 3, position: 0 })
  const [read] = await look({ decimal: 'comma' })
  expect(read).toMatchObject({ problems: [], notes: [{ code: 'unitAssumed' }], points: 40 })
  const settled = { decimal: 'comma', positionUnit: 'mm', heightUnit: 'µm' } as const
  const [meant] = await look(settled)
  expect(meant).toMatchObject({ notes: [], positionUnit: 'mm', heightUnit: 'µm' })
  expect(meant!.first[1]).toEqual({ row: 2, position: 1000, height: 2000 })
  expect((await listed(engine, runId)).scans).toEqual([])
  await engine.ok('traces.import', { runId, site: 1, files: [bare], ...settled })
  expect((await listed(engine, runId)).scans[0]?.found?.step).toBeCloseTo(1500, 6)
})

test('twenty thousand points a scan come back as they were', async () => {
  const engine = await testEngine()
  const { runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const file = scratch(1500, 1, { length: 1000, spacing: 0.05 })
  const { traceIds } = await engine.ok('traces.import', { runId, site: 1, files: [file] })
  const { positions, heights } = await engine.ok('traces.points', { traceId: traceIds[0]! })
  expect(positions).toHaveLength(20001)
  const tenth = (heights[10_000] as number) * 10
  expect(file.text.split('\r\n')[10_002]?.split(';')[1]).toBe(tenth.toFixed(1))
})
