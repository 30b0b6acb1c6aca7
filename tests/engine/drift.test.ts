import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import type { DriftChoice } from '../../shared/contract/results/drift.ts'
import { demoEngine } from './demo-engine.ts'
import { testEngine } from './engine-in-folder.ts'
import { demoStudy } from './studies-for-tests.ts'

const decision = { name: 'Thin', decidedBy: 'A. Tester', reason: 'It meets the target.', note: '' }

test('a recipe is kept with what the fit says of it, and superseded by a next version', async () => {
  const { engine, studyId, question: plain } = await demoEngine()
  const question = { ...plain, model: `${plain.model} + lot` }
  const goal = { target: 1500, tolerance: 30 }
  const found = await engine.ok('next.recipe', { ...question, ...goal, asked: 0.8 })
  const { settings, chance } = found.recipe
  const keep = { ...question, ...goal, settings, chance: chance.both, dataHash: found.dataHash, decision }
  const first = await engine.ok('recipes.keep', keep)
  expect(first.version).toBe(1)
  const kept = (await engine.ok('recipes.list', { studyId })).find(({ id }) => id === first.recipeId)!
  expect(kept).toMatchObject({
    ...decision,
    resist: 'K-15',
    lot: settings.lot,
    coater: 'C2',
    hotPlate: 'P1',
    targetNm: 1500,
    toleranceNm: 30,
    uniformityLimit: 1,
    dataHash: found.dataHash,
    runs: 30,
    supersededBy: null,
  })
  expect(kept.bakeSurface).toBe(kept.bakeDisplay - 1.5)
  expect(kept.program.map(({ rpm }) => rpm)).toEqual([500, settings.speed, 0])
  expect(kept.film.estimate).toBeCloseTo(found.recipe.estimate, 9)
  expect(kept.film.prediction[0]).toBeCloseTo(found.recipe.prediction[0], 9)
  const speeds = kept.speeds.map(({ speed }) => speed)
  expect(speeds).toEqual([...speeds].sort((a, b) => a - b))
  expect(speeds).toEqual(expect.arrayContaining([2000, 2500, 3000, 4500, settings.speed]))
  // The table is what the same fit predicts at each speed.
  const predicted = await engine.ok('fits.predict', {
    ...question,
    overDays: true,
    at: speeds.map((speed) => ({ ...settings, speed })),
  })
  const others = predicted.filter(({ scope }) => scope === 'otherSession')
  kept.speeds.forEach(({ estimate, prediction }, i) => {
    expect(estimate).toBeCloseTo(others[i]!.estimate, 9)
    expect(prediction).toEqual(others[i]!.prediction)
  })
  // The generator's own exponent, with the drying that quickens with the speed: 0.53 (trade facts of the demo).
  expect(Math.abs(kept.exponent!.value - 0.53)).toBeLessThan(4 * kept.exponent!.standardError + 0.005)

  expect(await engine.refused('recipes.keep', keep)).toMatchObject([{ code: 'nameTaken', column: 'name' }])
  const next = { ...keep, supersedes: first.recipeId, decision: { ...decision, reason: 'A rounder speed.' } }
  const second = await engine.ok('recipes.keep', next)
  expect(second.version).toBe(2)
  expect(await engine.refused('recipes.keep', next)).toMatchObject([{ code: 'superseded' }])
  const versions = (await engine.ok('recipes.list', { studyId })).filter(({ name }) => name === 'Thin')
  expect(versions.map(({ version, supersededBy }) => [version, supersededBy])).toEqual([
    [2, null],
    [1, second.recipeId],
  ])
  expect(await engine.refused('recipes.keep', { ...keep, dataHash: 'another' })).toMatchObject([
    { code: 'dataChanged' },
  ])
  await engine.ok('history.undo', { studyId })
  const left = (await engine.ok('recipes.list', { studyId })).filter(({ name }) => name === 'Thin')
  expect(left).toMatchObject([{ version: 1, supersededBy: null }])
})

test('the database refuses to change or to delete a kept recipe', async () => {
  const engine = await testEngine()
  await demoStudy(engine)
  const db = new Database(engine.file)
  const columns = db.prepare("SELECT name FROM pragma_table_info('recipe')").pluck().all() as string[]
  expect(columns.length).toBeGreaterThan(25)
  for (const column of columns.filter((name) => name !== 'removed'))
    expect(() => db.prepare(`UPDATE recipe SET "${column}" = "${column}"`).run(), column).toThrow(
      'a kept recipe is never changed',
    )
  expect(() => db.prepare('DELETE FROM recipe').run()).toThrow('never deleted')
  db.close()
})

test('the demo watches its recipe over 24 readings, with events between them', async () => {
  const { engine, studyId, question } = await demoEngine()
  const [recipe] = await engine.ok('recipes.list', { studyId })
  const watched = await engine.ok('drift.watch', { recipeId: recipe!.id })
  expect(watched.readings).toHaveLength(24)
  expect(watched.readings[0]).toMatchObject({ session: 'Monitor 1', day: '2026-01-05', openings: null })
  expect(watched.readings.at(-1)).toMatchObject({ day: '2026-02-27' })
  expect(watched.events.map(({ kind, before }) => [kind, before])).toEqual([
    ['fresh bottle', 13],
    ['plate recalibrated', 18],
  ])
  expect(watched.thickness.chart.limits).toMatchObject({ points: 15, provisional: true })
  expect(watched.thickness.falseAlarms!.chance).toBeGreaterThan(0.1)
  const { trend } = watched.thickness
  // +0.24 % a reading by the generator.
  expect(trend!.interval[0]).toBeLessThan(0.0024)
  expect(trend!.interval[1]).toBeGreaterThan(0.0024)
  expect(watched.thickness.changes.map(({ reading, before, after }) => [reading, before, after])).toEqual([
    [14, 13, 5],
    [19, 5, 6],
  ])
  expect(watched.spread!.chart.readings).toHaveLength(24)
  expect(watched.retuned!.words).toMatch(/rpm .* in place of 3280 rpm/)
  // None of it is part of the fits.
  const { fit } = await engine.ok('fits.fit', question)
  expect(fit.n).toBe(30)
  const table = await engine.ok('fits.table', { studyId })
  const monitors = table.rows.filter(({ excluded }) => excluded?.startsWith('A monitor run'))
  expect(monitors).toHaveLength(24)
})

test('a monitor run is planned by the recipe, read on Bench, and becomes a reading; an event is noted and taken back', async () => {
  const { engine, studyId } = await demoEngine()
  const [recipe] = await engine.ok('recipes.list', { studyId })
  const recipeId = recipe!.id
  const { runId, session } = await engine.ok('recipes.monitor', { recipeId })
  expect(session).toBe('Session 1')
  const before = await engine.ok('drift.watch', { recipeId })
  expect(before.waiting.map((run) => run.runId)).toEqual([runId])
  const run = (await engine.ok('bench.runs', { studyId })).find(({ id }) => id === runId)!
  expect(run).toMatchObject({ kind: 'monitor', recipeId, settings: recipe!.settings, lot: 'A' })
  await engine.ok('sessions.keep', {
    studyId,
    session: {
      ...{ name: session, day: '2026-03-02', operator: '', note: '' },
      roomTemperature: null,
      humidity: null,
      bottleId: null,
    },
  })
  const sites = Array.from({ length: 9 }, (_, site) => ({ site: site + 1, text: String(1520 + site) }))
  await engine.ok('bench.enterReadings', { runId, unit: 'nm', readings: sites })
  await engine.ok('drift.note', {
    studyId,
    kind: 'bowl cleaned',
    at: new Date('2026-03-01T12:00').toISOString(),
  })
  const choice: DriftChoice = { limitsFrom: { from: 1, to: 10 }, rules: ['beyond three'], along: 'days' }
  await engine.ok('drift.choose', { recipeId, choice })
  const after = await engine.ok('drift.watch', { recipeId })
  expect(after.choice).toEqual(choice)
  expect(after.waiting).toEqual([])
  expect(after.readings.at(-1)).toMatchObject({
    session,
    runs: [run.code],
    thicknessNm: expect.closeTo(1524, 9),
  })
  expect(after.thickness).toMatchObject({ rules: ['beyond three'], trend: { along: 'days' } })
  expect(after.thickness.chart.limits!.points).toBe(10)
  const cleaned = after.events.find(({ kind }) => kind === 'bowl cleaned')!
  expect(cleaned.before).toBe(24)
  await engine.ok('events.takeBack', { studyId, eventId: cleaned.id })
  await engine.ok('drift.choose', { recipeId, choice: { ...choice, along: 'openings' } })
  const again = await engine.ok('drift.watch', { recipeId })
  expect(again.events).toHaveLength(2)
  // Nobody noted an opening, so the trend is measured along readings and says so.
  expect(again.thickness.trend!.along).toBe('readings')
  expect(again.problems).toMatchObject([{ code: 'notMeasured' }])
  // The choice is a step like any other: undone, the one before holds again.
  await engine.ok('history.undo', { studyId })
  expect((await engine.ok('drift.watch', { recipeId })).choice).toEqual(choice)
  const { text, fileName } = await engine.ok('drift.csv', { recipeId })
  expect(fileName).toContain('drift of K-15 at 1500 nm')
  expect(text.trim().split('\n')).toHaveLength(26)
})
