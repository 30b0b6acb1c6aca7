import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { TimelineStep } from '../../../shared/contract/results/plan.ts'
import { readingTimes } from '../../../shared/contract/things.ts'
import { type BenchFigures, budgetOf } from '../../../shared/process/budget.ts'
import { clockAfter } from '../../../shared/process/clock.ts'
import { fitsSlot, longestSession, timelineOf } from '../../../shared/process/timeline.ts'
import { bench } from '../design/examples.ts'

const runs = fc
  .tuple(
    fc.array(fc.constantFrom(null, 90, 100, 110), { minLength: 1, maxLength: 20 }),
    fc.integer({ min: 1, max: 3 }),
  )
  .map(([temperatures, sessions]) =>
    temperatures.map((plateTemperature, i) => ({
      plateTemperature,
      runOrder: i + 1,
      session: `Session ${Math.ceil(((i + 1) * sessions) / temperatures.length)}`,
    })),
  )
const figures: fc.Arbitrary<BenchFigures> = fc
  .record({
    dummies: fc.integer({ min: 0, max: 4 }),
    coatMinutes: fc.constantFrom(0, 0.1, 3, 6.5),
    readMinutes: fc.constantFrom(0, 0.3, 4, 11),
    slotHours: fc.constantFrom(null, 1, 4),
    hotPlate: fc.constantFrom(null, bench.hotPlate),
    plateAtStart: fc.constantFrom('set beforehand' as const, 21, 100, 130),
  })
  .map((some) => ({ ...bench, ...some }))

const ofKind = (steps: TimelineStep[], kinds: TimelineStep['kind'][]) =>
  steps.filter(({ kind }) => kinds.includes(kind))
const lengthOf = (steps: TimelineStep[]) => steps.reduce((sum, { from, to }) => sum + to - from, 0)
const overlap = (steps: TimelineStep[]) => steps.some((step, i) => step.from < (steps[i - 1]?.to ?? 0) - 1e-9)

describe('the timeline of whatever is run', () => {
  test('takes the minutes of the budget, each step after the one before', () => {
    fc.assert(
      fc.property(runs, figures, (some, bench) => {
        const { sessions, minutesLater } = timelineOf({ runs: some, bench, reading: 'after' })
        const budget = budgetOf({ runs: some, bench })
        expect(sessions.reduce((sum, { finish }) => sum + finish, 0)).toBeCloseTo(budget.minutes, 6)
        const plate = sessions.flatMap(({ steps }) => ofKind(steps, ['heat', 'cool', 'soak']))
        expect(lengthOf(plate)).toBeCloseTo(budget.plateMinutes + budget.firstHeatMinutes, 6)
        expect(minutesLater).toBe(0)
        for (const { steps, finish } of sessions) {
          expect(overlap(steps)).toBe(false)
          expect(lengthOf(steps)).toBeCloseTo(finish, 6)
        }
      }),
      { numRuns: 300, seed: 3 },
    )
  })

  test('with a second person overlaps only reading with coating, and reads no film before it is coated', () => {
    fc.assert(
      fc.property(runs, figures, (some, bench) => {
        const alone = timelineOf({ runs: some, bench, reading: 'after' })
        const two = timelineOf({ runs: some, bench, reading: 'meanwhile' })
        two.sessions.forEach(({ steps, finish }, s) => {
          const reads = ofKind(steps, ['read'])
          expect(overlap(reads)).toBe(false)
          expect(overlap(ofKind(steps, ['dummy', 'heat', 'cool', 'soak', 'coat']))).toBe(false)
          for (const { run, from } of reads) {
            const coated = ofKind(steps, ['coat']).find((step) => step.run === run)?.to
            if (coated !== undefined) expect(from).toBeGreaterThanOrEqual(coated)
          }
          expect(lengthOf(steps)).toBeCloseTo(alone.sessions[s]!.finish, 6)
          expect(finish).toBeLessThanOrEqual(alone.sessions[s]!.finish + 1e-9)
        })
      }),
      { numRuns: 200, seed: 4 },
    )
  })

  test('leaves reading for later without losing its minutes', () => {
    fc.assert(
      fc.property(runs, figures, fc.constantFrom(...readingTimes), (some, bench, reading) => {
        const made = timelineOf({ runs: some, bench, reading })
        const all = made.sessions.flatMap(({ steps }) => steps)
        const { minutes } = budgetOf({ runs: some, bench })
        expect(lengthOf(all) + made.minutesLater).toBeCloseTo(minutes, 6)
        for (const { finish, over } of made.sessions)
          if (bench.slotHours === null) expect(over).toBeNull()
          else expect(over).toBeCloseTo(Math.max(0, finish - 60 * bench.slotHours), 9)
        const booked = bench.slotHours
        expect(fitsSlot(made)).toBe(booked === null || longestSession(made) <= 60 * booked)
      }),
      { numRuns: 200, seed: 5 },
    )
  })
})

test('a slot by hand: two dummies, two visits, three wafers', () => {
  const temperatures = [100, 100, 90]
  const some = temperatures.map((plateTemperature, i) => ({
    plateTemperature,
    runOrder: i + 1,
    session: null,
  }))
  const { sessions } = timelineOf({ runs: some, bench: { ...bench, slotHours: 1 }, reading: 'after' })
  // 5 coats of 6 min, 10 °C at 1.5 °C/min, 10 min of soak, 3 readings of 4 min.
  expect(sessions[0]?.steps.map(({ kind, from, run }) => [kind, Number(from.toFixed(2)), run])).toEqual([
    ['dummy', 0, null],
    ['dummy', 6, null],
    ['coat', 12, 1],
    ['coat', 18, 2],
    ['cool', 24, null],
    ['soak', 30.67, null],
    ['coat', 40.67, 3],
    ['read', 46.67, 1],
    ['read', 50.67, 2],
    ['read', 54.67, 3],
  ])
  expect(sessions[0]?.finish).toBeCloseTo(58 + 2 / 3, 9)
  expect(sessions[0]?.over).toBe(0)
})

test('a second session has its own dummies, purge and opening of the bottle', () => {
  const some = [90, 100, 90, 100].map((plateTemperature, i) => ({
    plateTemperature,
    session: i < 2 ? 'Session 1' : 'Session 2',
  }))
  const budget = budgetOf({ runs: some, bench: { ...bench, bottleMl: 100 } })
  expect(budget).toMatchObject({
    substrates: 4 + 4 + 5,
    resistMl: 8 * 3.5 + 30,
    purgeMl: 30,
    openings: 2,
    leftInBottleMl: 100 - 58,
    plateChanges: 2,
  })
  // The plate is set anew for the second session, so its way back to 90 °C does not count.
  expect(budget.plateMinutes).toBeCloseTo(2 * (10 + 10 / 6), 9)
})

test('the clock goes on past midnight', () => {
  expect(clockAfter('09:30', 95.6)).toBe('11:06')
  expect(clockAfter('23:00', 60)).toBe('00:00 (next day)')
  expect(clockAfter('00:00', 2 * 24 * 60 + 1)).toBe('00:01 (2 days later)')
})

test('the first heat-up counts before the dummies of each session, unless the plate is set beforehand', () => {
  const some = [90, 100].map((plateTemperature, i) => ({
    plateTemperature,
    runOrder: i + 1,
    session: `S${i}`,
  }))
  const cold = { ...bench, plateAtStart: 21 }
  const { sessions } = timelineOf({ runs: some, bench: cold, reading: 'later' })
  // 69 °C and 79 °C at 6 °C/min, and 10 min of soak.
  expect(
    sessions.map(({ steps }) =>
      steps.slice(0, 3).map(({ kind, from, to, temperature }) => [kind, from, to, temperature]),
    ),
  ).toEqual([
    [
      ['heat', 0, 11.5, 90],
      ['soak', 11.5, 21.5, 90],
      ['dummy', 21.5, 27.5, 90],
    ],
    [
      ['heat', 0, expect.closeTo(79 / 6, 9), 100],
      ['soak', expect.closeTo(79 / 6, 9), expect.closeTo(79 / 6 + 10, 9), 100],
      ['dummy', expect.closeTo(79 / 6 + 10, 9), expect.closeTo(79 / 6 + 16, 9), 100],
    ],
  ])
  const first = (change: Partial<BenchFigures>) =>
    timelineOf({ runs: some, bench: { ...cold, ...change }, reading: 'later' }).sessions[0]?.steps[0]?.kind
  expect(first({ plateAtStart: 'set beforehand' })).toBe('dummy')
  expect(first({ plateAtStart: 90 })).toBe('dummy')
  expect(first({ plateAtStart: 120 })).toBe('cool')
  expect(first({ hotPlate: null })).toBe('dummy')
})

test('a plate that no run sets is heated to the bake of the recipe', () => {
  const some = [{ plateTemperature: null, runOrder: 1 }]
  const cold = { ...bench, plateAtStart: 21 }
  const [session] = timelineOf({ runs: some, bench: cold, reading: 'later' }).sessions
  expect(session?.steps[0]).toMatchObject({ kind: 'heat', temperature: bench.holdBakeTemperature })
  expect(budgetOf({ runs: some, bench: cold })).toMatchObject({ plateMinutes: 0, plateChanges: null })
})
