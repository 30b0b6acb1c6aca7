import { describe, expect, test } from 'vitest'
import type { Run } from '../../shared/contract/things.ts'
import { codeWithLetter } from '../../shared/process/check-letter.ts'
import { demoEngine } from './demo-engine.ts'
import { type TestEngine, testEngine } from './engine-in-folder.ts'
import { type demoStudy, plannedStudy } from './studies-for-tests.ts'

/**
 * Faults planted in the demo study, each with a known answer. Those of single readings (a: µm and Å, c: fringe order, d: comet,
 * g: a site at the rim) are in tests/unit/film/question-readings.test.ts, those of files (a, i: summary rows) also in
 * import-shapes.test.ts.
 */

const problemsOfFit = async (
  engine: TestEngine,
  question: Awaited<ReturnType<typeof demoStudy>>['question'],
) => (await engine.ok('fits.fit', question)).fit.problems
const messageOf = (problems: { code: string; message: string }[], code: string) =>
  problems.find((problem) => problem.code === code)?.message ?? null

describe('b: wafers 7 and 8 exchanged', () => {
  /** Enters the readings of two runs at each other. */
  async function exchange(engine: TestEngine, [one, other]: [Run, Run]) {
    const texts = async ({ id }: Run) =>
      (await engine.ok('bench.card', { runId: id })).readings.map(({ site, text }) => ({ site, text }))
    const [ofOne, ofOther] = [await texts(one), await texts(other)]
    for (const [run, readings] of [
      [one, ofOther],
      [other, ofOne],
    ] as const)
      await engine.ok('bench.enterReadings', { runId: run.id, unit: 'nm', readings })
  }

  test('are named by every fit of the study, whatever its kind and model', async () => {
    const { engine, studyId, runs, question } = await demoEngine()
    expect(messageOf(await problemsOfFit(engine, question), 'swappedPair')).toBeNull()
    await exchange(engine, [runs[6]!, runs[7]!])
    const said =
      /^Exchanging W07 and W08 lowers the misfit [\d.]+-fold: check the marks on the wafers\. .*1 in 100/
    expect(messageOf(await problemsOfFit(engine, question), 'swappedPair')).toMatch(said)
    const robust = await engine.ok('fits.fit', { ...question, robust: 'bisquare' })
    expect(messageOf(robust.fit.problems, 'swappedPair')).toMatch(said)
    const { suggestions } = await engine.ok('fits.models', { studyId, response: 'thickness' })
    const fits = await Promise.all(
      suggestions.map(({ model }) => engine.ok('fits.fit', { ...question, model })),
    )
    const best = fits.reduce((a, b) => ((b.fit.aicc ?? 1e9) < (a.fit.aicc ?? 1e9) ? b : a))
    expect(messageOf(best.fit.problems, 'swappedPair')).toMatch(said)
  })
})

test('e: a wafer with the lid open is named by the fit, be it recorded or noted in words', async () => {
  const { engine, runs, question } = await demoEngine()
  expect(messageOf(await problemsOfFit(engine, question), 'coatedOddly')).toBeNull()
  await engine.ok('bench.updateRun', { runId: runs[4]!.id, change: { actual: { lidOpen: true } } })
  await engine.ok('bench.updateRun', { runId: runs[9]!.id, change: { note: 'Lid left open, sorry' } })
  const said = messageOf(await problemsOfFit(engine, question), 'coatedOddly')
  expect(said).toContain('W05 (lid open); W10 (lid open)')
  await engine.ok('bench.updateRun', { runId: runs[4]!.id, change: { excluded: 'lid open' } })
  expect(messageOf(await problemsOfFit(engine, question), 'coatedOddly')).not.toContain('W05')
})

test('f: a main segment of 5 s at 500 rpm/s never reaches its speed', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const program = [
    { rpm: 500, ramp: 500, time: 5 },
    { rpm: 3000, ramp: 500, time: 5 },
  ]
  await engine.ok('studies.update', { studyId, change: { program } })
  const runId = runs[0]!.id
  await engine.ok('bench.updateRun', { runId, change: { settings: { speed: 3250, time: 5, bake: 100 } } })
  const { check } = await engine.ok('bench.card', { runId })
  expect(check.ok).toBe(false)
  // (3250 − 500) rpm at 500 rpm/s take 5.5 s.
  expect(check.findings.find(({ code }) => code === 'ramp')).toMatchObject({
    severity: 'outside',
    segment: 2,
    value: 5.5,
    limit: 5,
  })
})

test('h: a first wafer without dummies is a caution on its card and named by the fit', async () => {
  const { engine, runs, question } = await demoEngine()
  const runId = runs[0]!.id
  await engine.ok('bench.updateRun', { runId, change: { actual: { waferSinceClean: 1 } } })
  const { checks } = await engine.ok('bench.card', { runId })
  expect(checks.find(({ code }) => code === 'bowl')).toMatchObject({ findings: [{ value: 0, limit: 2 }] })
  expect(messageOf(await problemsOfFit(engine, question), 'coatedOddly')).toContain(
    'W01 (wafer 1 since the bowl was cleaned)',
  )
})

test('j: a file with decimal commas is read as it is meant', async () => {
  const engine = await testEngine()
  const { studyId } = await plannedStudy(engine)
  const text = 'run;site;thickness (nm)\nW01;1;1504,5\nW01;2;1503,25\n'
  const preview = await engine.ok('imports.preview', { studyId, fileName: 'read.csv', text })
  expect(preview).toMatchObject({ decimal: 'comma', delimiter: ';', problems: [], readings: 2 })
  expect(preview.rows.map(({ read }) => read[2])).toEqual([1504.5, 1503.25])
})

test('k: where the plate shows 100 but its surface was 97 for one visit, the fit takes the surface and says so', async () => {
  const { engine, studyId, runs, question } = await demoEngine()
  const { visits } = await engine.ok('sessions.list', { studyId })
  const last = visits.find(({ number }) => number === 4)!
  await engine.ok('sessions.keepVisit', { studyId, visit: { ...last, display: 100, surface: 97 } })
  // The plate is 1.5 °C cooler than its display, so that a surface of 97 °C is that of a display of 98.5 °C.
  const said = messageOf(await problemsOfFit(engine, question), 'notAsPlanned')
  const [first] = runs.filter(({ plateVisit }) => plateVisit === 4)
  expect(said).toContain(`${first!.code} (bake 98.5 for 100, by the plate’s surface of 97 °C)`)
  // What was read at the run itself goes before that of its visit.
  await engine.ok('bench.updateRun', { runId: first!.id, change: { actual: { bakeDisplay: 101 } } })
  expect(messageOf(await problemsOfFit(engine, question), 'notAsPlanned')).toContain(
    `${first!.code} (bake 101 for 100)`,
  )
})

describe('l: a wafer id twice in a file, or one that belongs to another wafer', () => {
  test('is a problem with its row, in a table of runs and in one of readings', async () => {
    const engine = await testEngine()
    const { studyId } = await plannedStudy(engine)
    const look = async (text: string) =>
      (await engine.ok('imports.preview', { studyId, fileName: 'l.csv', text })).problems
    expect(await look('run,thickness (nm)\nW01,1500\nW02,1490\nW01,1480\n')).toMatchObject([
      { code: 'duplicateRun', row: 4 },
    ])
    expect(await look('run,site,thickness (nm)\nW01,1,1500\nW01,2,1501\nW01,1,1480\n')).toMatchObject([
      { code: 'repeatedSite', row: 4 },
    ])
  })

  test('with check letters, the wrong one names its row and the likely code; the right one is the run', async () => {
    const engine = await testEngine()
    const { studyId } = await plannedStudy(engine)
    const [seven, eight] = ['W07', 'W08'].map((code) => codeWithLetter(studyId, code)) as [string, string]
    const file = (code: string) => `run,site,thickness (nm)\n${code},1,1500\n${eight},1,1490\n`
    const fileName = 'letters.csv'
    const wrong = `W07-${eight.at(-1)}`
    const asked = await engine.ok('imports.preview', { studyId, fileName, text: file(wrong) })
    expect(asked.problems).toMatchObject([{ code: 'wrongLetter', row: 2 }])
    expect(asked.problems[0]?.message).toContain(`Is it ${eight}`)
    const right = { studyId, fileName, text: file(seven) }
    expect(await engine.ok('imports.preview', right)).toMatchObject({ problems: [], newRuns: 0, readings: 2 })
    await engine.ok('imports.commit', right)
    const read = (await engine.ok('bench.runs', { studyId })).filter(({ readings }) => readings > 0)
    expect(read.map(({ code }) => code)).toEqual(['W07', 'W08'])
  })
})
