import { expect, test } from 'vitest'
import { dayOf } from '../../shared/process/bottle-state.ts'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

test('runs of a day are put into its session in one step, and those coated later on it join by themselves', async () => {
  const { ok, refused } = await testEngine()
  const { studyId, runs } = await plannedStudy({ ok } as Parameters<typeof plannedStudy>[0])
  const ids = runs.map(({ id }) => id)
  const [first, second, third, fourth, fifth] = ids as [string, string, string, string, string]
  const coat = (runId: string, more = {}) =>
    ok('bench.updateRun', { runId, change: { state: 'coated', ...more } })
  const inSession = async () =>
    Object.fromEntries((await ok('bench.runs', { studyId })).map(({ id, session }) => [id, session]))
  await coat(first)
  await coat(second)
  expect((await inSession())[second]).toBeNull()
  const day = dayOf(new Date())
  await ok('sessions.putRuns', { studyId, runIds: [first, second], session: day, day })
  expect(await inSession()).toMatchObject({ [first]: day, [second]: day, [third]: null })
  expect((await ok('sessions.list', { studyId })).sessions).toMatchObject([{ name: day, day }])
  await coat(third)
  await ok('bench.enterReadings', { runId: fourth, unit: 'nm', readings: [{ site: 1, text: '1500' }] })
  await coat(fifth, { session: 'afternoon' })
  expect(await inSession()).toMatchObject({ [third]: day, [fourth]: day, [fifth]: 'afternoon' })
  // A coat that is taken back takes the session back; the whole of the putting together is one step.
  for (const _ of [1, 2, 3]) await ok('history.undo', { studyId })
  expect(await inSession()).toMatchObject({ [third]: null, [fourth]: null, [first]: day })
  expect((await ok('history.undo', { studyId })).label).toBe(`Put 2 runs into session ${day}`)
  expect(await inSession()).toMatchObject({ [first]: null, [second]: null })

  // With two sessions of one day nobody can know which is meant.
  for (const session of ['a', 'b']) await ok('sessions.putRuns', { studyId, runIds: [first], session, day })
  await coat(third)
  expect((await inSession())[third]).toBeNull()
  await ok('sessions.putRuns', { studyId, runIds: [first], session: null })
  expect((await inSession())[first]).toBeNull()
  const other = await ok('studies.demo', {})
  const foreign = { studyId: other.studyId, runIds: [first], session: 'a' }
  expect(await refused('sessions.putRuns', foreign)).toMatchObject([{ code: 'noSuchRun', column: 'runIds' }])
})
