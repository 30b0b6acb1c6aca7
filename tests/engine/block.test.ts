import { expect, test } from 'vitest'
import { demoEngine } from './demo-engine.ts'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

const nine = (first: number) =>
  Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: String(first + i) }))

test('a block of several runs goes in as one step, and comes out again by undo', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [a, b] = runs as [(typeof runs)[number], (typeof runs)[number]]
  const given = {
    studyId,
    unit: 'nm',
    runs: [a, b].map(({ id }, i) => ({ runId: id, readings: nine(1500 + i) })),
  }
  expect((await engine.ok('bench.enterBlock', given)).readingIds).toHaveLength(18)
  const states = async () =>
    (await engine.ok('bench.runs', { studyId })).slice(0, 2).map(({ state }) => state)
  expect(await states()).toEqual(['measured', 'measured'])
  const grid = await engine.ok('bench.readings', { studyId })
  expect(grid.sites).toHaveLength(9)
  expect(grid.runs[1]?.readings.map(({ value }) => value)).toEqual(nine(1501).map(({ text }) => Number(text)))
  expect((await engine.ok('history.undo', { studyId })).label).toBe('Entered 18 readings of 2 runs')
  expect((await engine.ok('bench.readings', { studyId })).runs.flatMap(({ readings }) => readings)).toEqual(
    [],
  )
})

test('one bad cell keeps the whole block out, and names its run', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [a, b] = runs as [(typeof runs)[number], (typeof runs)[number]]
  const problems = await engine.refused('bench.enterBlock', {
    studyId,
    unit: 'nm',
    runs: [
      { runId: a.id, readings: nine(1500) },
      {
        runId: b.id,
        readings: [
          { site: 1, text: '15..0' },
          { site: 77, text: '1500' },
        ],
      },
    ],
  })
  expect(problems.map(({ code }) => code)).toEqual(['notANumber', 'noSuchSite'])
  expect(problems.every(({ message }) => message.startsWith(`${b.code}: `))).toBe(true)
  expect((await engine.ok('bench.card', { runId: a.id })).readings).toEqual([])
})

test('taking readings back takes what they corrected with them, and undo brings the last one again', async () => {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const runId = runs[0]?.id as string
  await engine.ok('bench.enterBlock', { studyId, unit: 'nm', runs: [{ runId, readings: nine(1500) }] })
  await engine.ok('bench.enterBlock', {
    studyId,
    unit: 'nm',
    runs: [{ runId, readings: [{ site: 1, text: '1555' }] }],
  })
  const values = async () => {
    const { run, readings } = await engine.ok('bench.card', { runId })
    return [run.state, readings.length, readings[0]?.text]
  }
  expect(await values()).toEqual(['measured', 9, '1555'])
  const { readings } = await engine.ok('bench.card', { runId })
  await engine.ok('bench.withdrawReadings', { studyId, readingIds: [readings[0]?.id as string] })
  expect(await values()).toEqual(['coated', 8, '1501'])
  await engine.ok('history.undo', { studyId })
  expect(await values()).toEqual(['measured', 9, '1555'])
})

test('maps get the thickness readings of the runs asked for, with their places and marks', async () => {
  const { engine, studyId, runs } = await demoEngine()
  const { readings } = await engine.ok('bench.card', { runId: runs[4]!.id })
  await engine.ok('bench.excludeReading', { readingId: readings[1]!.id, reason: 'a comet' })
  const { runId } = await engine.ok('plans.addRun', { studyId, settings: runs[0]!.settings, lot: 'A' })
  const runIds = [runs[4]!.id, runId, runs[2]!.id]
  const maps = await engine.ok('bench.maps', { studyId, runIds })
  expect(maps.map(({ id }) => id)).toEqual([runs[4]!.id, runs[2]!.id])
  expect(maps[0]!.readings).toEqual((await engine.ok('bench.card', { runId: runs[4]!.id })).readings)
  expect(maps[0]!.readings[1]!.excluded).toBe('a comet')
})
