import { expect, test } from 'vitest'
import { demoEngine } from './demo-engine.ts'

test('runs chosen together become one stage in their order, with a prediction and a plate visit each', async () => {
  const { engine, studyId, question, runs } = await demoEngine()
  const goal = { target: 1500, tolerance: 30 }
  const asked = { ...question, ...goal, aim: 'learn' as const, count: 3, minutesLeft: null }
  const { choices, dataHash, ...batch } = await engine.ok('next.batch', asked)
  expect(choices).toHaveLength(3)
  expect(batch.minutes).toBeCloseTo(
    choices.reduce((sum, { cost }) => sum + cost.minutes, 0),
    8,
  )
  const { runIds, stageId } = await engine.ok('next.take', { ...question, choices, dataHash })
  const taken = (await engine.ok('bench.runs', { studyId })).slice(runs.length)
  expect(taken.map(({ id }) => id)).toEqual(runIds)
  for (const [i, run] of taken.entries())
    expect(run).toMatchObject({ stageId, kind: 'next', settings: choices[i]!.settings })
  const plates = new Set(choices.map(({ settings }) => settings.bake))
  expect(new Set(taken.map(({ plateVisit }) => plateVisit)).size).toBe(plates.size)
  const { entries } = await engine.ok('next.ledger', { studyId })
  expect(entries.map(({ runId }) => runId).sort()).toEqual([...runIds].sort())
  // One step takes the whole batch back.
  await engine.ok('history.undo', { studyId })
  expect(await engine.ok('bench.runs', { studyId })).toEqual(runs)
  expect((await engine.ok('next.ledger', { studyId })).entries).toEqual([])
})
