import { expect, test } from 'vitest'
import type { Args, CallName } from '../../shared/contract.ts'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

test('every change made at the bench is one step, and undo takes it back whole', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const { ok } = engine
  const [runId, otherRunId] = runs.map(({ id }) => id) as [string, string]
  const readings = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `150${i}` }))
  await ok('bench.updateRun', { runId, change: { session: '2026-03-02 a', substrate: 'S1' } })
  await ok('bench.enterReadings', { runId, unit: 'nm', readings })
  const [first, second] = (await ok('bench.card', { runId })).readings.map(({ id }) => id) as [string, string]
  await ok('bench.excludeReading', { readingId: second, reason: 'a comet' })

  /** All of the bench but what the clock moves. */
  const state = async () => {
    const cards = [await ok('bench.card', { runId }), await ok('bench.card', { runId: otherRunId })]
    return {
      cards: cards.map(({ run, readings: own, session, film }) => ({ run, own, session, film })),
      sessions: await ok('sessions.list', { studyId }),
      substrate: await ok('substrates.history', { code: 'S1' }),
      grid: (await ok('bench.readings', { studyId })).runs.map(({ id, readings: own }) => ({ id, own })),
      bottles: await ok('bottles.list', {}),
    }
  }
  const update = (change: Args<'bench.updateRun'>['change']) => ({ runId, change })
  const session = {
    ...{ name: '2026-03-02 a', day: '2026-03-02', operator: 'first person', note: '' },
    ...{ roomTemperature: 21, humidity: 45, bottleId: null },
  }
  const changes: [CallName, unknown][] = [
    ['bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: '1600' }] }],
    ['bench.excludeReading', { readingId: first, reason: 'in the edge bead' }],
    ['bench.includeReading', { readingId: second }],
    ['bench.withdrawReadings', { studyId, readingIds: [first] }],
    ['bench.enterBlock', { studyId, unit: 'nm', runs: [{ runId: otherRunId, readings }] }],
    ['bench.exchangeReadings', { runId, otherRunId, reason: 'boats mixed up' }],
    ['bench.changeHowRead', { runId, stage: 'bake', takenAfter: 'spin', opticalIndex: 1.6 }],
    ['bench.updateRun', update({ note: 'lid open' })],
    ['bench.updateRun', update({ excluded: 'wrong resist' })],
    ['bench.updateRun', update({ state: 'failed', defect: 'streak' })],
    ['bench.updateRun', update({ stepsDone: { Coat: '2026-03-02T10:00:00.000Z' } })],
    ['bench.updateRun', update({ actual: { speed: 2990 } })],
    ['bench.updateRun', update({ session: '2026-03-03 b' })],
    ['bench.updateRun', update({ lot: 'B', substrate: 'S2' })],
    ['sessions.keep', { studyId, session }],
    ['bottles.keep', { studyId, bottle: { name: 'B7' } }],
  ]
  const before = await state()
  for (const [name, args] of changes) {
    const answer = await engine.engine.call(name, args)
    expect(answer, name).toMatchObject({ ok: true })
    expect(await state(), name).not.toEqual(before)
    await ok('history.undo', { studyId })
    expect(await state(), `${name} undone`).toEqual(before)
  }
})
