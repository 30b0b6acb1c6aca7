import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { forked } from './forked-engine.ts'
import { plannedStudy } from './studies-for-tests.ts'

/** A window and the command line, or a browser's door, on one file. */
test('two processes write into one file, each tells of the other, and undo in one holds for both', async () => {
  let heard = 0
  const here = await testEngine({
    onChanged: () => {
      heard += 1
    },
  })
  const { studyId, runs } = await plannedStudy(here)
  const runId = runs[0]!.id
  const there = forked(here.file)
  await there.ready
  const entry = (site: number) => ({
    runId,
    unit: 'nm' as const,
    readings: [{ site, text: `${1500 + site}` }],
  })
  const values = async () => (await here.ok('bench.card', { runId })).readings.map(({ value }) => value)

  // Both at once: neither is refused, since each waits for the other.
  const both = await Promise.all([
    here.engine.call('bench.enterReadings', entry(1)),
    there.call('bench.enterReadings', entry(2)),
  ])
  expect(both).toMatchObject([{ ok: true }, { ok: true }])
  expect((await values()).sort()).toEqual([1501, 1502])

  const before = heard
  expect(await there.call('bench.enterReadings', entry(3))).toMatchObject({ ok: true })
  await expect.poll(() => heard, { timeout: 10_000 }).toBeGreaterThan(before)

  // The last step is the other's; taking it back here and making it again there leaves both whole.
  await here.ok('history.undo', { studyId })
  expect((await values()).sort()).toEqual([1501, 1502])
  expect(await there.call('history.redo', { studyId })).toMatchObject({ ok: true })
  expect((await values()).sort()).toEqual([1501, 1502, 1503])
  const undone = await Promise.all([
    here.engine.call('history.undo', { studyId }),
    there.call('history.undo', { studyId }),
  ])
  expect(undone).toMatchObject([{ ok: true }, { ok: true }])
  expect(await values()).toHaveLength(1)
})
