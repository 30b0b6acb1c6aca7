import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { CheckInput } from '../../../shared/process/check-program.ts'
import { checkProgram, toolsOf, usualCoater, usualHotPlate } from '../../../shared/process/check-program.ts'
import { checkStates } from '../../../shared/process/check-states.ts'
import { displayOf, isRising, surfaceOf } from '../../../shared/process/plate-offset.ts'
import { minutesSince } from '../../../shared/process/time-of-day.ts'
import { studyDefaults } from '../../../shared/study-defaults.ts'

const limits = studyDefaults.resistLimits
const good = [
  { rpm: 500, ramp: 500, time: 5 },
  { rpm: 3000, ramp: 1000, time: 40 },
  { rpm: 0, ramp: 1000, time: 5 },
]
const base: CheckInput = { segments: good, coater: usualCoater }
const findings = (more: Partial<CheckInput>) => checkProgram({ ...base, ...more }).findings
const found = (more: Partial<CheckInput>) =>
  findings(more).map(({ code, severity, value, limit }) => [code, severity, value, limit])

describe('the program', () => {
  test('a stop segment that is too short says how fast the chuck still turns', () => {
    // From 3000 rpm, 0.1 s at 1000 rpm/s takes off 100 rpm.
    const short = [...good.slice(0, 2), { rpm: 0, ramp: 1000, time: 0.1 }]
    expect(findings({ segments: short })[0]?.message).toContain('still turns at 2900 rpm when it ends')
  })

  test('a speed that is not reached is named', () => {
    const slow = [good[0]!, { rpm: 3000, ramp: 50, time: 40 }]
    expect(findings({ segments: slow })[0]?.message).toContain('so it gets to 2500 rpm')
    // The segment before stops at 1000 rpm; this one has no ramp of its own, and 40 s at 10 rpm/s.
    const after = [
      { rpm: 3000, ramp: 100, time: 10 },
      { rpm: 3000, ramp: 10, time: 40 },
    ]
    expect(found({ segments: after })).toContainEqual(['reached', 'outside', 1400, 3000])
  })

  test('acceleration is compared once the coater has a limit', () => {
    expect(found({ coater: { ...usualCoater, maxRamp: 1000 } })).toEqual([])
    expect(found({ coater: { ...usualCoater, maxRamp: 900 } })).toEqual([
      ['acceleration', 'outside', 1000, 900],
      ['acceleration', 'outside', 1000, 900],
    ])
  })

  test('time at speed is compared with the drying time of the resist where it has one', () => {
    // 40 s less a ramp of 2.5 s.
    expect(found({ resist: { ...limits, dryingTime: 37 } })).toEqual([])
    expect(found({ resist: { ...limits, dryingTime: 38 } })).toEqual([['dwell', 'warning', 37.5, 38]])
  })

  test('program and bake are compared with what the plan counts for a substrate', () => {
    const bake = { temperature: 100, time: 70 }
    // 50 s of program and 70 s of bake.
    expect(found({ bake, coatMinutes: 2 })).toEqual([])
    expect(found({ bake, coatMinutes: 1.9 })).toEqual([['total', 'warning', 2, 1.9]])
  })
})

describe('the resist', () => {
  test('speed and bake beyond its data sheet are outside', () => {
    const resist = { ...limits, speedLow: 3500, bakeHigh: 98 }
    const bake = { temperature: 100, time: 60 }
    expect(found({ resist, bake, hotPlate: usualHotPlate })).toEqual([
      ['resist', 'outside', 3000, 3500],
      ['resist', 'outside', 100, 98],
    ])
    // The plate is 2 °C cooler than it shows: 98 °C at the surface.
    const hotPlate = { ...usualHotPlate, surfaceOffset: -2, offsets: [] }
    expect(found({ resist: { ...resist, speedLow: 3000 }, bake, hotPlate })).toEqual([])
  })
})

describe('the chuck under a rectangle', () => {
  const chuck = (chuckMm: number, sidesMm: [number, number]) => found({ chuckMm, sidesMm })
  test('not wider than the short side, wider than half the diagonal', () => {
    // 30 × 40 mm: diagonal 50 mm.
    expect(chuck(30, [30, 40])).toEqual([])
    expect(chuck(25, [40, 30])).toEqual([['chuck', 'warning', 25, 25]])
    expect(chuck(30.1, [40, 30])).toEqual([['chuck', 'outside', 30.1, 30]])
  })
  test('the sides count in place of the diameter', () => {
    const study = { coater: null, hotPlate: null, diameterMm: 100, chuckMm: 35 }
    expect(toolsOf({ ...study, substrateShape: 'rectangle', widthMm: 40, heightMm: 30 })).toMatchObject({
      sidesMm: [40, 30],
    })
    expect(toolsOf(study)).toMatchObject({ diameterMm: 100 })
  })
})

describe('the bench', () => {
  test('a plate that has not settled is a warning', () => {
    const hotPlate = { ...usualHotPlate, soak: 10 }
    expect(found({ hotPlate, minutesSinceSet: 10 })).toEqual([])
    const [finding] = findings({ hotPlate, minutesSinceSet: 4 })
    expect(finding).toMatchObject({ code: 'settle', severity: 'warning', value: 4, limit: 10 })
    expect(finding?.message).toContain('Read the plate before coating.')
  })

  test('the first substrates after a clean bowl are a warning', () => {
    expect(found({ dummies: 2 })).toEqual([])
    expect(found({ dummies: 0 })).toEqual([['bowl', 'warning', 0, 2]])
    expect(found({ dummies: 3, waferSinceClean: 3 })).toEqual([['bowl', 'warning', 2, 3]])
    expect(found({ dummies: 0, waferSinceClean: 3 })).toEqual([])
    const bowl = (more: Partial<CheckInput>) => {
      const input = { ...base, ...more }
      return checkStates(input, checkProgram(input)).find(({ code }) => code === 'bowl')?.state
    }
    // What was planned is not what was coated.
    expect(bowl({ dummies: 2 })).toBe('not checked')
    expect(bowl({ dummies: 2, waferSinceClean: 3 })).toBe('within')
    expect(bowl({ dummies: 0 })).toBe('within')
  })

  const bottle = {
    name: 'B1',
    expires: '2026-03-01',
    today: '2026-03-01',
    openings: 3,
    minutesOut: 90,
    waits: true,
    restMl: 40,
    coatMl: 4,
  }
  test('a bottle that is expired, cold or often opened', () => {
    expect(found({ bottle })).toEqual([])
    expect(found({ bottle: { ...bottle, today: '2026-03-03' } })).toEqual([['bottle', 'outside', 2, 0]])
    const resist = { ...limits, warmUpMinutes: 120, openings: 2 }
    expect(found({ bottle, resist })).toEqual([
      ['bottle', 'outside', 90, 120],
      ['bottle', 'warning', 3, 2],
    ])
    expect(found({ bottle: { ...bottle, restMl: 3 } })).toEqual([['bottle', 'warning', 3, 4]])
    expect(findings({ bottle: { ...bottle, openings: 21 } })[0]).toMatchObject({ limitConfirmed: false })
  })

  test('a bottle that has to warm up is not checked until it is known since when it is out', () => {
    const resist = { ...limits, warmUpMinutes: 60 }
    const stateOf = (more: object) => {
      const input = { ...base, resist, bottle: { ...bottle, minutesOut: null, ...more } }
      return checkStates(input, checkProgram(input)).find(({ code }) => code === 'bottle')?.state
    }
    expect(stateOf({})).toBe('not checked')
    expect(stateOf({ minutesOut: 61 })).toBe('within')
    expect(stateOf({ today: '2026-03-03' })).toBe('outside')
    expect(stateOf({ waits: false })).toBe('within')
  })

  test('what is not given is not checked', () => {
    const states = checkStates(base, checkProgram(base))
    const checked = states.filter(({ state }) => state !== 'not checked').map(({ code }) => code)
    expect(checked).toEqual(['ramp', 'dwell', 'speed', 'reached'])
  })
})

describe('display and surface', () => {
  const table = {
    surfaceOffset: 5,
    offsets: [
      { display: 90, surface: 89 },
      { display: 110, surface: 107 },
    ],
  }
  test('linear between the rows, the last difference beyond, the offset without a table', () => {
    expect(surfaceOf(table, 100)).toBe(98)
    expect(surfaceOf(table, 80)).toBe(79)
    expect(surfaceOf(table, 120)).toBe(117)
    expect(displayOf(table, 98)).toBe(100)
    expect(surfaceOf({ surfaceOffset: -1.5, offsets: [] }, 100)).toBe(98.5)
    expect(surfaceOf(null, 100)).toBe(100)
  })

  test('one is the other way of the other', () => {
    const steps = fc.array(fc.tuple(fc.double({ min: 0.1, max: 50 }), fc.double({ min: 0.1, max: 50 })), {
      maxLength: 6,
    })
    fc.assert(
      fc.property(
        steps.filter((rises) => rises.flat().every(Number.isFinite)),
        fc.double({ min: -50, max: 400, noNaN: true }),
        (rises, display) => {
          let row = { display: 20, surface: 18 }
          const offsets = rises.map(([d, s]) => {
            row = { display: row.display + d, surface: row.surface + s }
            return row
          })
          expect(isRising(offsets)).toBe(true)
          const plate = { surfaceOffset: 1, offsets }
          expect(displayOf(plate, surfaceOf(plate, display))).toBeCloseTo(display, 6)
        },
      ),
    )
  })
})

test('minutes since a time of day, also over midnight', () => {
  const at = (hour: number, minute: number) => new Date(2026, 2, 2, hour, minute)
  expect(minutesSince('09:40', at(10, 5))).toBe(25)
  expect(minutesSince('23:50', at(0, 10))).toBe(20)
  expect(minutesSince('10:30', at(10, 5))).toBeNull()
  expect(minutesSince('25:00', at(10, 5))).toBeNull()
  expect(minutesSince('soon', at(10, 5))).toBeNull()
})
