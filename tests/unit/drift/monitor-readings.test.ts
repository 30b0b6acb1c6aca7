import { expect, test } from 'vitest'
import type { ProcessEvent } from '../../../shared/contract/materials.ts'
import { type MonitorWafer, monitorReadings } from '../../../shared/drift/monitor-readings.ts'

const wafer = (code: string, more: Partial<MonitorWafer>): MonitorWafer => ({
  ...{ code, session: null, day: '', coatedAt: null, mean: 1500, spread: 0.004, openings: null },
  ...more,
})
const at = (day: string, hour = 12) => new Date(`${day}T${String(hour).padStart(2, '0')}:00`).toISOString()
const event = (kind: ProcessEvent['kind'], moment: string): ProcessEvent => ({
  ...{ id: crypto.randomUUID(), kind, text: '' },
  at: moment,
})

test('the wafers of a session are one reading, the mean of their logarithms', () => {
  const { readings } = monitorReadings(
    [
      wafer('W1', { session: 'A', mean: 1490, spread: 0.002 }),
      wafer('W2', { session: 'A', mean: 1510, spread: 0.008 }),
      wafer('W3', { session: 'B', spread: null }),
    ],
    [],
  )
  expect(readings.map(({ session, runs }) => [session, runs])).toEqual([
    ['A', ['W1', 'W2']],
    ['B', ['W3']],
  ])
  expect(readings[0]!.thicknessNm).toBeCloseTo(Math.sqrt(1490 * 1510), 9)
  expect(readings[0]!.spread).toBeCloseTo(0.004, 12)
  expect(readings[1]!.spread).toBeNull()
})

test('without a session the day of the coat tells, and days set the order where all are known', () => {
  const wafers = [
    wafer('W1', { coatedAt: at('2026-03-09') }),
    wafer('W2', { session: 'A', day: '2026-03-02' }),
    wafer('W3', { coatedAt: at('2026-03-09', 15) }),
  ]
  const found = monitorReadings(wafers, []).readings
  expect(found.map(({ runs, day }) => [runs, day])).toEqual([
    [['W2'], '2026-03-02'],
    [['W1', 'W3'], '2026-03-09'],
  ])
  const unknown = monitorReadings([...wafers, wafer('W4', {})], []).readings
  expect(unknown.map(({ runs }) => runs[0])).toEqual(['W1', 'W2', 'W4'])
})

test('an event on the day of a reading comes before it, unless its wafers were coated earlier that day', () => {
  const wafers = [
    wafer('W1', { session: 'A', day: '2026-03-02' }),
    wafer('W2', { session: 'B', day: '2026-03-09', coatedAt: at('2026-03-09', 9) }),
    // Noted a week later than it was coated: its hour says nothing.
    wafer('W3', { session: 'C', day: '2026-03-16', coatedAt: at('2026-03-23', 9) }),
  ]
  const place = (moment: string) => monitorReadings(wafers, [event('bowl cleaned', moment)]).events[0]!.before
  expect(place(at('2026-03-02', 18))).toBe(0)
  expect(place(at('2026-03-09', 8))).toBe(1)
  expect(place(at('2026-03-09', 10))).toBe(2)
  expect(place(at('2026-03-16', 18))).toBe(2)
  expect(place(at('2026-03-24'))).toBe(3)
})

test('openings are those of the session’s bottle, else what was noted since a fresh one', () => {
  const wafers = ['2026-03-02', '2026-03-09', '2026-03-16'].map((day, i) =>
    wafer(`W${i + 1}`, { session: day, day, openings: i === 1 ? 7 : null }),
  )
  const openings = (events: ProcessEvent[]) =>
    monitorReadings(wafers, events).readings.map((one) => one.openings)
  expect(openings([])).toEqual([null, 7, null])
  const noted = [
    event('bottle opened', at('2026-03-01')),
    event('bottle opened', at('2026-03-02', 8)),
    event('fresh bottle', at('2026-03-12')),
    event('bottle opened', at('2026-03-13')),
  ]
  expect(openings(noted)).toEqual([2, 7, 1])
})
