import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { bottleState, dayOf, isDay, type Pour } from '../../../shared/process/bottle-state.ts'

const bottle = { sizeMl: 100, openedFirst: '' }
const pour: Pour = { sessionId: 'a', day: '2026-03-02', coats: 4, dummies: 2, coatMl: 3.5, purgeMl: 15 }
const event = (kind: 'opened' | 'poured' | 'empty' | 'out of the fridge', more: object = {}) => ({
  kind,
  at: '2026-03-01T08:00:00.000Z',
  day: '2026-03-01',
  sessionId: null,
  ml: null,
  ...more,
})

describe('a bottle', () => {
  test('is opened once by a session that coats, and holds what coats, dummies and purge leave', () => {
    // 6 coats of 3.5 mL and 15 mL of purge.
    expect(bottleState({ bottle, events: [], pours: [pour] })).toEqual({
      openings: 1,
      restMl: 100 - 36,
      outAt: null,
      empty: false,
    })
  })

  test('of which nobody said the size, or that is said to be empty', () => {
    expect(bottleState({ bottle: { ...bottle, sizeMl: null }, events: [], pours: [pour] }).restMl).toBeNull()
    expect(bottleState({ bottle, events: [event('empty')], pours: [] })).toMatchObject({
      restMl: 0,
      empty: true,
    })
  })

  test('counts what was noted within a session in place of the one opening, and elsewhere besides', () => {
    const twice = [event('opened', { sessionId: 'a' }), event('opened', { sessionId: 'a' })]
    expect(bottleState({ bottle, events: twice, pours: [pour] }).openings).toBe(2)
    expect(bottleState({ bottle, events: [...twice, event('opened')], pours: [pour] }).openings).toBe(3)
    expect(bottleState({ bottle, events: [event('poured', { ml: 10 })], pours: [pour] }).restMl).toBe(54)
  })

  test('is asked about at a session: it counts from its first coat on, later days do not', () => {
    const later = { ...pour, sessionId: 'b', day: '2026-03-09', coats: 0 }
    const pours = [pour, later]
    expect(bottleState({ bottle, events: [], pours }).openings).toBe(1)
    expect(bottleState({ bottle, events: [], pours, at: later }).openings).toBe(1)
    const poured = [pour, { ...later, coats: 1 }]
    expect(bottleState({ bottle, events: [], pours: poured, at: later }).openings).toBe(2)
    expect(bottleState({ bottle, events: [], pours: [{ ...later, coats: 0 }], at: later }).openings).toBe(0)
    expect(
      bottleState({ bottle, events: [], pours: [pour, { ...later, coats: 3 }], at: pour }).openings,
    ).toBe(1)
  })

  test('was opened on the day that is written on it, once with what is counted of that day', () => {
    const written = (openedFirst: string, pours: Pour[] = [], at?: Pour) =>
      bottleState({ bottle: { ...bottle, openedFirst }, events: [], pours, at }).openings
    expect(written('2026-03-01')).toBe(1)
    expect(written('last week')).toBe(1)
    expect(written('2026-03-01', [pour])).toBe(2)
    expect(written('2026-03-02', [pour])).toBe(1)
    expect(written('2026-03-05', [], pour)).toBe(0)
    expect(
      bottleState({ bottle: { ...bottle, openedFirst: '2026-03-01' }, events: [event('opened')], pours: [] })
        .openings,
    ).toBe(1)
  })

  test('never holds less than nothing, and less the more is coated', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 }), (a, b) => {
        const rest = (coats: number) =>
          bottleState({ bottle, events: [], pours: [{ ...pour, coats }] }).restMl as number
        expect(rest(a + b)).toBeLessThanOrEqual(rest(a))
        expect(rest(a + b)).toBeGreaterThanOrEqual(0)
      }),
    )
  })
})

test('days are those of the calendar', () => {
  expect(['2026-03-02', '2026-13-02', 'Monday', ''].map(isDay)).toEqual([true, false, false, false])
  expect(dayOf(new Date(2026, 2, 2, 23, 59))).toBe('2026-03-02')
})
