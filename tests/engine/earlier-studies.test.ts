import { expect, test } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { testEngine } from './engine-in-folder.ts'
import { design, speed } from './studies-for-tests.ts'

/** A study of invented films on so many days, which differ by so much (a share). */
async function studyOver(
  engine: Awaited<ReturnType<typeof testEngine>>,
  { name, coaterId, days, spread }: { name: string; coaterId: string; days: number; spread: number },
) {
  const random = seeded(days)
  const { studyId } = await engine.ok('studies.create', {
    study: { name, coaterId, targetNm: 1500, toleranceNm: 30 },
  })
  await engine.ok('plans.save', { studyId, factors: [speed], design: { ...design, replicates: 2 * days } })
  const runs = await engine.ok('bench.runs', { studyId })
  const ofDay = Array.from({ length: days }, () => spread * random.normal())
  for (const [i, { id, settings }] of runs.entries()) {
    const day = i % days
    const nm =
      1500 *
      (Number(settings.speed) / 3000) ** -0.5 *
      Math.exp((ofDay[day] as number) + 0.003 * random.normal())
    await engine.ok('bench.updateRun', { runId: id, change: { session: `Day ${day + 1}` } })
    await engine.ok('bench.enterReadings', {
      runId: id,
      unit: 'nm',
      readings: [{ site: null, text: nm.toFixed(2) }],
    })
  }
  return { studyId, response: 'thickness', model: 'log(thickness) ~ log(speed)', overDays: true }
}

test('what days differ by is taken from earlier studies on the same coater, and said; other coaters tell nothing', async () => {
  const engine = await testEngine()
  const [coaterId, other] = await Promise.all(
    ['C1', 'C2'].map(async (name) => (await engine.ok('tools.saveCoater', { coater: { name } })).id),
  )
  const before = await studyOver(engine, { name: 'Before', coaterId: coaterId!, days: 6, spread: 0.02 })
  const own = (await engine.ok('fits.fit', before)).fit
  const [session] = own.varianceComponents
  expect(session).toMatchObject({ group: 'session', source: 'estimated' })
  const question = await studyOver(engine, { name: 'Now', coaterId: coaterId!, days: 1, spread: 0 })
  const { fit } = await engine.ok('fits.fit', question)
  expect(fit.varianceComponents[0]).toMatchObject({ group: 'session', source: 'earlierStudies' })
  // The earlier study is fitted by a model of its own.
  expect(
    Math.abs(fit.varianceComponents[0]!.standardDeviation / session!.standardDeviation - 1),
  ).toBeLessThan(0.02)
  expect(fit.problems.map(({ code }) => code)).toContain('earlierVariance')
  const [, prediction] = await engine.ok('fits.predict', { ...question, at: [{ speed: 3000 }] })
  expect(prediction).toMatchObject({ scope: 'otherSession', varianceSource: 'earlierStudies' })
  const elsewhere = await studyOver(engine, { name: 'Elsewhere', coaterId: other!, days: 1, spread: 0 })
  expect((await engine.ok('fits.fit', elsewhere)).fit.varianceComponents[0]).toMatchObject({
    source: 'stated',
  })
})
