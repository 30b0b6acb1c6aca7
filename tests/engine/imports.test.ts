import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const data = (name: string) => readFileSync(join(import.meta.dirname, '../data', name), 'utf8')

async function newStudy({ ok }: TestEngine, more = {}) {
  return (await ok('studies.create', { study: { name: 'Import', ...more } })).studyId
}

test('a readings file goes to the planned runs by their codes, and every reading keeps what was typed', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const text =
    'wafer,site,x_mm,y_mm,thickness (µm),gof\nW01,1,0,0,1.5001,0.99\nW01,2,22,0,1.5012,0.98\nW03,1,0,0,1.499,0.99\n'
  const source = { studyId, fileName: 'map.csv', text }
  const preview = await engine.ok('imports.preview', source)
  expect(preview).toMatchObject({
    shape: 'readings',
    runs: 2,
    newRuns: 0,
    readings: 3,
    rowCount: 3,
    problems: [],
  })
  expect(preview.columns.map(({ means }) => means)).toEqual(['run', 'site', 'x', 'y', 'reading', 'ignored'])
  const { importId } = await engine.ok('imports.commit', source)
  expect(importId).toMatch(/-7/)
  const card = await engine.ok('bench.card', { runId: runs[0]!.id })
  expect(card.run.state).toBe('measured')
  expect(card.readings).toMatchObject([
    { site: 1, xMm: 0, yMm: 0, text: '1.5001', unit: 'µm', quantity: 'thickness' },
    { site: 2, xMm: 22, text: '1.5012' },
  ])
  expect(card.readings[0]?.value).toBeCloseTo(1500.1, 9)
  expect((await engine.ok('history.list', { studyId }))[0]?.label).toBe(
    'Imported ‘map.csv’: 2 runs, 3 readings',
  )
})

test('an import is one step: undo withdraws it whole, redo brings it back, and it may come in again', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const source = { studyId, fileName: 'a.csv', text: 'run,T1,T2,T3\nW01,1500,1501,-1\nW02,1490,1491,1492\n' }
  await engine.ok('imports.commit', source)
  const after = await engine.ok('bench.runs', { studyId })
  expect(after[0]).toMatchObject({ state: 'coated', readings: 3, sitesRead: 3, film: { n: 2 } })
  expect((await engine.refused('imports.commit', source))[0]?.code).toBe('importedBefore')
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual(runs)
  await engine.ok('history.redo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual(after)
  await engine.ok('history.undo', { studyId })
  await engine.ok('imports.commit', source)
  expect((await engine.ok('bench.runs', { studyId }))[0]).toMatchObject({ readings: 3 })
})

test('a wide file is a row for each wafer; its summaries and failed points stay out, by name', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const text = [
    'Tool: R1',
    'Wafer;1;2;3;4;5;Mean;Std Dev',
    'W01;1500,1;1501;0;NaN;1499;1500;1',
    'W02;1490,2;1491;-1;---;;1490;1',
    'Average;1495;1496;;;;;',
  ].join('\r\n')
  const source = { studyId, fileName: 'wide.csv', text }
  const preview = await engine.ok('imports.preview', source)
  expect(preview).toMatchObject({
    shape: 'wide readings',
    delimiter: ';',
    decimal: 'comma',
    runs: 2,
    readings: 7,
    problems: [],
  })
  expect(preview.flagged.map(({ row, column }) => [row, column])).toEqual([
    [3, '3'],
    [4, '3'],
  ])
  expect(preview.leftAside.map(({ code, row }) => [code, row])).toEqual([
    ['aboveTable', 1],
    ['noReading', 3],
    ['noReading', 4],
    ['summaryRow', 5],
  ])
  await engine.ok('imports.commit', source)
  const card = await engine.ok('bench.card', { runId: runs[0]!.id })
  // Site 3 read 0: kept, excluded, with the reason.
  expect(card.readings.map(({ site, value, excluded }) => [site, value, excluded])).toEqual([
    [1, 1500.1, null],
    [2, 1501, null],
    [3, 0, 'The reading is zero.'],
    [5, 1499, null],
  ])
  expect(card.readings[1]?.xMm).toBe(card.sites[1]?.xMm)
})

test('nothing is imported while a row is bad, and every bad row is named', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const text =
    'run,site,thickness\nW01,1,1500\nW01,2,12..5\nW99,1,1500\nW02,x,1500\n,4,1500\nW02,12,1500\nW01,1,1501\n'
  const source = { studyId, fileName: 'bad.csv', text }
  const problems = await engine.refused('imports.commit', source)
  expect(problems.map(({ code, row }) => [code, row])).toEqual([
    ['notANumber', 3],
    ['notANumber', 5],
    ['runMissing', 6],
    ['repeatedSite', 8],
    ['noSuchSite', 7],
    ['noSuchRun', 4],
  ])
  expect(problems[0]?.message).toBe('Row 3, thickness: ‘12..5’ is no number.')
  expect((await engine.ok('imports.preview', source)).problems).toEqual(problems)
  expect(await engine.ok('bench.runs', { studyId })).toEqual(runs)
})

test('a wafer that comes twice, or was set otherwise than planned, is pointed out', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const twice = { studyId, fileName: 'a.csv', text: 'run,T1,T2,T3\nW01,1,2,3\nW01,4,5,6\n' }
  expect(await engine.refused('imports.commit', twice)).toMatchObject([{ code: 'duplicateRun', row: 3 }])
  const { speed, time, bake } = runs[0]!.settings
  const text = `run,speed (rpm),time (s),bake (°C),thickness (nm)\nW01,${Number(speed) + 500},${time},${bake},1500\n`
  expect(await engine.refused('imports.commit', { studyId, fileName: 'a.csv', text })).toMatchObject([
    { code: 'otherSetting', column: 'speed', row: 2 },
  ])
  const fahrenheit = text.replace('°C', '°F')
  const problems = await engine.refused('imports.commit', { studyId, fileName: 'a.csv', text: fahrenheit })
  expect(problems.map(({ code }) => code)).toContain('otherUnit')
})

test('a file corrects what stands at its sites and leaves alone what is there already', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]!.id
  const readings = ['1500', '1501', '1502'].map((text, i) => ({ site: i + 1, text }))
  const typed = await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings })
  const source = {
    studyId,
    fileName: 'a.csv',
    text: 'run,site,thickness (nm)\nW01,1,1500.4\nW01,2,1501\nW01,4,1503\n',
  }
  const preview = await engine.ok('imports.preview', source)
  expect(preview.readings).toBe(2)
  expect(preview.corrected).toMatchObject([{ code: 'corrected', message: expect.stringContaining('site 1') }])
  expect(preview.leftAside).toMatchObject([{ code: 'alreadyThere' }])
  await engine.ok('imports.commit', source)
  const card = await engine.ok('bench.card', { runId })
  expect(card.readings.map(({ value }) => value)).toEqual([1500.4, 1501, 1502, 1503])
  expect(card.readings[0]?.supersedes).toBe(typed.readingIds[0])
  await engine.ok('history.undo', { studyId })
  expect((await engine.ok('bench.card', { runId })).readings.map(({ value }) => value)).toEqual([
    1500, 1501, 1502,
  ])
})

test('a site or a wafer in another unit is pointed out in the preview, by row', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const text =
    'run,T1,T2,T3,T4\nW01,1500,1501,1.504,1502\nW02,15010,15020,15030,15040\nW03,2100,2101,2102,2103\n'
  const { warnings, problems } = await engine.ok('imports.preview', { studyId, fileName: 'a.csv', text })
  expect(problems).toEqual([])
  expect(warnings.map(({ code, row, column }) => [code, row, column])).toEqual([
    ['unitSlip', 2, 'site 3'],
    ['unitSlip', 3, undefined],
  ])
})

test('positions off the substrate are refused: the origin is its centre, where a person says so', async () => {
  const engine = await testEngine()
  const studyId = await newStudy(engine)
  const text = 'x_mm,y_mm,thickness\n50,50,1500\n95,50,1501\n0,0,1502\n'
  const options = { origin: 'centre' as const }
  const source = { studyId, fileName: 'lower-left.csv', text }
  expect((await engine.ok('imports.preview', source)).options.origin).toBe('lower left')
  const problems = await engine.refused('imports.commit', { ...source, options })
  expect(problems.map(({ code, row }) => [code, row])).toEqual([
    ['offSubstrate', 2],
    ['offSubstrate', 3],
  ])
  // In other units of length.
  const micrometres = 'x (µm),y (µm),thickness\n40000,0,1500\n0,47000,1501\n'
  const preview = await engine.ok('imports.preview', { studyId, fileName: 'a.csv', text: micrometres })
  expect(preview).toMatchObject({ problems: [], readings: 2, flagged: [{ code: 'beyondEdge', row: 3 }] })
})

test('a doubtful decimal sign is asked about in the preview and settled by the answer', async () => {
  const engine = await testEngine()
  const studyId = await newStudy(engine)
  const source = { studyId, fileName: 'a.csv', text: 'speed;thickness (µm)\n3000;1,504\n4000;1,300\n' }
  const preview = await engine.ok('imports.preview', source)
  expect(preview.problems).toMatchObject([{ code: 'ambiguousDecimal', column: 'thickness (µm)' }])
  await engine.refused('imports.commit', source)
  await engine.ok('imports.commit', { ...source, decimal: 'comma' })
  const films = (await engine.ok('bench.runs', { studyId })).map((run) => run.film?.mean)
  expect(films).toEqual([1504, 1300])
})

test('the meaning of a column can be changed, and then holds', async () => {
  const engine = await testEngine()
  const studyId = await newStudy(engine)
  const source = {
    studyId,
    fileName: 'a.csv',
    text: 'id code,primer,rpm,result,T\nA1,none,3000,12.5,95\nA2,vapour,4000,13,95\nA3,none,4000,14,95\n',
  }
  const { columns } = await engine.ok('imports.preview', source)
  const change = (column: string, to: object) =>
    columns.map((meaning) => (meaning.column === column ? { ...meaning, ...to } : meaning))
  let mapped = change('id code', { means: 'run' })
  mapped = mapped.map((m) =>
    m.column === 'result' ? { ...m, means: 'response', name: 'stress', unit: 'MPa' } : m,
  )
  mapped = mapped.map((m) => (m.column === 'T' ? { ...m, means: 'factor', name: 'bake', unit: '°C' } : m))
  mapped = mapped.map((m) => (m.column === 'primer' ? { ...m, means: 'factor', name: 'primer' } : m))
  await engine.ok('imports.commit', { ...source, columns: mapped })
  const runs = await engine.ok('bench.runs', { studyId })
  expect(runs.map(({ code, settings, responses }) => ({ code, settings, responses }))).toEqual([
    { code: 'A1', settings: { primer: 'none', rpm: 3000, bake: 95 }, responses: { stress: 12.5 } },
    { code: 'A2', settings: { primer: 'vapour', rpm: 4000, bake: 95 }, responses: { stress: 13 } },
    { code: 'A3', settings: { primer: 'none', rpm: 4000, bake: 95 }, responses: { stress: 14 } },
  ])
  const { factors } = await engine.ok('studies.get', { studyId })
  expect(factors).toMatchObject([
    { name: 'primer', kind: 'categorical', levelNames: ['none', 'vapour'] },
    { name: 'rpm', role: 'speed', unit: 'rpm', low: 3000, high: 4000 },
    { name: 'bake', role: 'bake temperature', low: 95, high: 95 },
  ])
  const twice = change('id code', { means: 'factor', name: 'rpm' })
  expect((await engine.ok('imports.preview', { ...source, columns: twice })).problems).toEqual(
    expect.arrayContaining([expect.objectContaining({ code: 'meantTwice' })]),
  )
})

// Positive resist, University of Pennsylvania, Singh Center tool data (repository.upenn.edu, scn_tooldata, 1000).
test('the published curve of twelve speeds comes in as runs, in nm', async () => {
  const engine = await testEngine()
  const studyId = await newStudy(engine)
  const source = {
    studyId,
    fileName: 'upenn_resist_spin_curve.csv',
    text: data('upenn_resist_spin_curve.csv'),
  }
  expect(await engine.ok('imports.preview', source)).toMatchObject({
    shape: 'runs',
    newRuns: 12,
    readings: 12,
    problems: [],
  })
  await engine.ok('imports.commit', source)
  const runs = await engine.ok('bench.runs', { studyId })
  expect(runs.map((run) => run.settings.rpm)).toEqual([
    500, 1000, 1500, 2000, 2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000,
  ])
  expect(runs.map((run) => run.film?.mean)).toEqual([
    1287, 914, 742, 644, 569, 524, 490, 459, 438, 420, 409, 399,
  ])
  const model = 'log(thickness) ~ log(rpm)'
  const { fit } = await engine.ok('fits.fit', { studyId, response: 'thickness', model })
  // Least squares by R 4.2.2, in µm: slope and its standard error are the same in nm.
  const slope = fit.terms.find(({ term }) => term === 'log(rpm)')
  expect(slope?.estimate).toBeCloseTo(-0.4792535716842991, 12)
  expect(slope?.standardError).toBeCloseTo(0.008088348742, 11)
  expect(fit.rSquared).toBeCloseTo(0.997159768313, 11)
  // A straight line is significantly wrong: F(1, 9) = 14.8171 for the square.
  const curvature = fit.problems.find(({ code }) => code === 'curvature')
  expect(curvature?.message).toContain('F(1, 9) = 14.82')
})

// NIST/SEMATECH e-Handbook of Statistical Methods, 5.4.7.3; coefficients by R 4.2.2.
test('the published response surface comes in with two responses, in natural and in coded units', async () => {
  const engine = await testEngine()
  const studyId = await newStudy(engine)
  const source = { studyId, fileName: 'nist_cvd_rsm.csv', text: data('nist_cvd_rsm.csv') }
  await engine.ok('imports.commit', source)
  const { responses, suggestions } = await engine.ok('fits.models', { studyId, response: 'stress' })
  expect(responses).toEqual(['uniformity_pct', 'stress'])
  // The coded columns only repeat the natural ones.
  expect(suggestions.at(-1)?.model).toBe('stress ~ (pressure_torr + h2_wf6)^2 + pressure_torr^2 + h2_wf6^2')
  const quadratic = (response: string, p: string, r: string) =>
    `${response} ~ ${p} + ${r} + ${p}^2 + ${r}^2 + ${p}.${r}`
  const fitted = async (response: string, p: string, r: string) => {
    const question = { studyId, response, model: quadratic(response, p, r) }
    return (await engine.ok('fits.fit', question)).fit
  }
  const uniformity = await fitted('uniformity_pct', 'coded_p', 'coded_r')
  const expected = [5.86612597, -1.90967035, -0.22408127, 0.13373348, 0.03373348, 1.68617338]
  uniformity.terms.forEach((term, i) => {
    expect(term.estimate).toBeCloseTo(expected[i] as number, 7)
  })
  expect(uniformity.residualStandardDeviation).toBeCloseTo(0.723539830707, 11)
  const stress = await fitted('stress', 'coded_p', 'coded_r')
  expect(stress.rSquared).toBeCloseTo(0.991750517874, 11)
  const natural = await fitted('stress', 'pressure_torr', 'h2_wf6')
  expect(natural.residualStandardDeviation).toBeCloseTo(0.0764240728061, 11)
  expect(natural.rSquared).toBeCloseTo(0.991888124429, 11)
})

// EHRSTEIN.DAT, NIST, 16 January 1986: 300 sites of a 125 mm wafer; flagged readings bear a minus sign.
test('the published wafer map comes in whole, its flagged and zero readings excluded with the reason', async () => {
  const engine = await testEngine()
  const studyId = await newStudy(engine, { diameterMm: 125, edgeExclusionMm: 3 })
  const source = { studyId, fileName: 'ehrstein_wafer_map.csv', text: data('ehrstein_wafer_map.csv') }
  const preview = await engine.ok('imports.preview', source)
  expect(preview).toMatchObject({ shape: 'readings', runs: 1, readings: 300, problems: [] })
  expect(preview.flagged).toHaveLength(13)
  await engine.ok('imports.commit', source)
  const [run] = await engine.ok('bench.runs', { studyId })
  expect(run).toMatchObject({ code: 'ehrstein_wafer_map', readings: 300, film: { n: 287 } })
  // The 290 readings that are not negative have the mean 14.0269345862; three of them are zero.
  expect(run?.film?.mean).toBeCloseTo((14.0269345862 * 290) / 287, 9)
  const { readings } = await engine.ok('bench.card', { runId: run!.id })
  const reasons = readings.flatMap(({ excluded }) => excluded ?? [])
  expect(reasons.filter((reason) => reason === 'The reading is negative.')).toHaveLength(10)
  expect(reasons.filter((reason) => reason === 'The reading is zero.')).toHaveLength(3)
  expect(Math.max(...readings.map(({ xMm, yMm }) => Math.hypot(xMm ?? 0, yMm ?? 0)))).toBeCloseTo(
    59.248177,
    6,
  )
})

test('a run is measured once its map is read, by file as by hand, or where the file has places of its own', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const commit = (fileName: string, text: string) => engine.ok('imports.commit', { studyId, fileName, text })
  const stand = async () =>
    (await engine.ok('bench.runs', { studyId })).map(({ state, sitesRead }) => [state, sitesRead])
  const sites = (code: string, from: number, to: number) =>
    Array.from({ length: to - from + 1 }, (_, i) => `${code},${from + i},${1500 + i}\n`).join('')
  const header = 'run,site,thickness (nm)\n'
  await commit('some.csv', header + sites('W01', 1, 2) + sites('W02', 1, 9))
  expect((await stand()).slice(0, 2)).toEqual([
    ['coated', 2],
    ['measured', 9],
  ])
  await commit('rest.csv', header + sites('W01', 3, 9))
  expect((await stand())[0]).toEqual(['measured', 9])
  await commit('mean.csv', 'run,thickness (nm)\nW03,1500\n')
  expect((await stand())[2]).toEqual(['measured', null])
  await commit('own.csv', 'run,x (mm),y (mm),thickness (nm)\nW04,3,4,1500\nW04,-7,11,1502\n')
  expect((await stand())[3]?.[0]).toBe('measured')
  await commit('said.csv', 'run,site,thickness (nm),state\nW05,1,1500,measured\n')
  expect((await stand())[4]).toEqual(['measured', 1])
})
