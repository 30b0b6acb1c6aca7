import { expect, test } from 'vitest'
import { testEngine } from './engine-in-folder.ts'
import { plannedStudy } from './studies-for-tests.ts'

/** A study of 9 sites whose first run is read with site 2 left out, and its second with two sites. */
async function twoRead() {
  const engine = await testEngine()
  const { studyId, runs } = await plannedStudy(engine)
  const [one, other] = runs.map(({ id }) => id) as [string, string]
  const texts = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `150${i}` }))
  await engine.ok('bench.enterReadings', { runId: one, unit: 'nm', readings: texts })
  const film = [
    { site: 1, text: '1601' },
    { site: 2, text: '1602' },
  ]
  await engine.ok('bench.enterReadings', { runId: other, unit: 'nm', readings: film })
  const card = (runId: string) => engine.ok('bench.card', { runId })
  const second = (await card(one)).readings[1]!
  await engine.ok('bench.excludeReading', { readingId: second.id, reason: 'a comet' })
  const shown = async (runId: string) => {
    const { run, readings } = await card(runId)
    return {
      state: run.state,
      note: run.note,
      texts: readings.map(({ site, text, excluded }) => `${site} ${text}${excluded ? ` (${excluded})` : ''}`),
    }
  }
  return { ...engine, studyId, one, other, card, shown }
}

test('the readings of two runs change places in one step, with the reason in both notes, and undo brings them back', async () => {
  const { ok, one, other, shown, studyId } = await twoRead()
  const [before, beforeOther] = [await shown(one), await shown(other)]
  expect([before.state, beforeOther.state]).toEqual(['measured', 'coated'])
  await ok('bench.exchangeReadings', { runId: one, otherRunId: other, reason: 'boats mixed up' })
  expect(await shown(other)).toEqual({
    state: 'measured',
    note: expect.stringMatching(/^readings exchanged with \S+: boats mixed up$/),
    texts: before.texts,
  })
  expect(await shown(one)).toMatchObject({ state: 'coated', texts: beforeOther.texts })
  // Tables of the whole study see it too, and a second exchange puts all numbers back.
  const grid = async () =>
    (await ok('bench.readings', { studyId })).runs.map(({ readings }) => readings.length)
  expect((await grid()).slice(0, 2)).toEqual([2, 9])
  await ok('history.undo', { studyId })
  expect([await shown(one), await shown(other)]).toEqual([before, beforeOther])
  expect((await grid()).slice(0, 2)).toEqual([9, 2])
})

test('readings can be given to a run that has none; the other waits for its own', async () => {
  const { ok, one, shown, studyId } = await twoRead()
  const runs = await ok('bench.runs', { studyId })
  const third = runs[2]!.id
  const { texts } = await shown(one)
  await ok('bench.readings', { studyId })
  await ok('bench.exchangeReadings', { runId: third, otherRunId: one, reason: 'wrong card' })
  expect(await shown(third)).toMatchObject({ state: 'measured', texts })
  expect(await shown(one)).toMatchObject({ state: 'coated', texts: [] })
  const after = (await ok('bench.readings', { studyId })).runs
  expect([after[0]?.readings.length, after[2]?.readings.length]).toEqual([0, 9])
})

test('an exchange needs another run of the study, and a reason', async () => {
  const { refused, one, other, ok, studyId } = await twoRead()
  const same = await refused('bench.exchangeReadings', { runId: one, otherRunId: one, reason: 'x' })
  expect(same.map(({ code }) => code)).toEqual(['otherRun'])
  await refused('bench.exchangeReadings', { runId: one, otherRunId: other, reason: ' ' })
  const [, , third, fourth] = await ok('bench.runs', { studyId })
  const empty = { runId: third!.id, otherRunId: fourth!.id, reason: 'x' }
  expect((await refused('bench.exchangeReadings', empty)).map(({ code }) => code)).toEqual([
    'nothingToChange',
  ])
})

test('stage and optical index of a run are said anew, and its numbers stay', async () => {
  const { ok, one, card, shown, refused, studyId } = await twoRead()
  const before = await card(one)
  const stage = before.study.readAfter
  await ok('bench.changeHowRead', { runId: one, stage, takenAfter: stage, opticalIndex: 1.62 })
  const after = await card(one)
  expect(after.readings.map(({ value }) => value)).toEqual(before.readings.map(({ value }) => value))
  expect(new Set(after.readings.map(({ opticalIndex }) => opticalIndex))).toEqual(new Set([1.62]))
  expect(after.readings[1]?.excluded).toBe('a comet')
  expect(after.readings.every(({ supersedes }, i) => supersedes === before.readings[i]?.id)).toBe(true)
  const again = { runId: one, stage, takenAfter: stage, opticalIndex: 1.62 }
  expect((await refused('bench.changeHowRead', again)).map(({ code }) => code)).toEqual(['nothingToChange'])
  // Moved to a stage that is not the target's, the run is no longer measured; undo measures it again.
  await ok('bench.changeHowRead', { runId: one, stage, takenAfter: 'spin', opticalIndex: 1.62 })
  expect(await shown(one)).toMatchObject({ state: 'coated' })
  expect((await card(one)).readings.every(({ takenAfter }) => takenAfter === 'spin')).toBe(true)
  await ok('history.undo', { studyId })
  expect(await shown(one)).toMatchObject({ state: 'measured' })
})

test('a stage at which the site is read already is refused', async () => {
  const { ok, one, card, refused } = await twoRead()
  const { study } = await card(one)
  const reading = { site: 3, text: '1700' }
  await ok('bench.enterReadings', { runId: one, unit: 'nm', takenAfter: 'spin', readings: [reading] })
  const change = { runId: one, stage: study.readAfter, takenAfter: 'spin' as const, opticalIndex: null }
  const [problem] = await refused('bench.changeHowRead', change)
  expect(problem).toMatchObject({ code: 'stageTaken', message: expect.stringContaining('site 3') })
})

test('the card says session, operator and bottle', async () => {
  const { ok, one, card, studyId } = await twoRead()
  expect((await card(one)).session).toBeNull()
  await ok('bench.updateRun', { runId: one, change: { session: '2026-03-02 a' } })
  const session = {
    name: '2026-03-02 a',
    day: '2026-03-02',
    operator: 'first person',
    roomTemperature: null,
    humidity: null,
    bottleId: null,
    note: '',
  }
  await ok('sessions.keep', { studyId, session })
  expect((await card(one)).session).toEqual({
    name: '2026-03-02 a',
    day: '2026-03-02',
    operator: 'first person',
    bottle: null,
  })
})
