import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { checkCodes } from '../../../shared/contract/choices.ts'
import { programCheck } from '../../../shared/contract/results/check.ts'
import type { Segment } from '../../../shared/contract/things.ts'
import {
  type CheckInput,
  checkProgram,
  usualCoater,
  usualHotPlate,
} from '../../../shared/process/check-program.ts'
import { checkStates, stateInWords } from '../../../shared/process/check-states.ts'
import { mainSegment, programProfile } from '../../../shared/process/spin-program.ts'

const segment = (rpm: number, ramp: number, time: number): Segment => ({ rpm, ramp, time })
const good = [segment(500, 500, 5), segment(3000, 1000, 40), segment(0, 1000, 5)]
const check = (segments: Segment[], more: Partial<CheckInput> = {}) =>
  checkProgram({ segments, coater: usualCoater, ...more })
const found = (segments: Segment[], more: Partial<CheckInput> = {}) =>
  check(segments, more).findings.map(({ code, severity, segment }) => [code, severity, segment])

describe('the times of a program', () => {
  test('a ramp inside its segment leaves the rest at speed', () => {
    expect(check(good).segments).toEqual([
      { from: 0, to: 500, ramp: 500, time: 5, rampTime: 1, timeAtSpeed: 4 },
      { from: 500, to: 3000, ramp: 1000, time: 40, rampTime: 2.5, timeAtSpeed: 37.5 },
      { from: 3000, to: 0, ramp: 1000, time: 5, rampTime: 3, timeAtSpeed: 2 },
    ])
    expect(check(good)).toMatchObject({ ok: true, findings: [] })
  })

  test('a ramp beside its segment leaves all of it, and cannot be too long', () => {
    const outside = { coater: { ...usualCoater, rampInside: false } }
    const program = [segment(500, 100, 5), segment(3000, 100, 20), segment(0, 1000, 0.1)]
    expect(check(program, outside).segments.map((one) => one.timeAtSpeed)).toEqual([5, 20, 0.1])
    expect(found(program, outside)).toEqual([])
  })
})

describe('a ramp against its segment', () => {
  test('the spread that reaches its speed in the last instant is outside', () => {
    const finding = check([segment(500, 100, 5), segment(3000, 1000, 30)]).findings[0]
    expect(finding).toMatchObject({ code: 'ramp', severity: 'outside', segment: 1, value: 5, limit: 5 })
  })

  test('a stop may fill its segment but not pass it', () => {
    expect(found([segment(3000, 1000, 40), segment(0, 1000, 3)])).toEqual([])
    expect(found([segment(3000, 1000, 40), segment(0, 1000, 0.1)])).toEqual([['ramp', 'outside', 2]])
    expect(found([segment(3000, 1000, 40), segment(0, 1000, 3 * (1 - 1e-6))])).toEqual([
      ['ramp', 'outside', 2],
    ])
  })

  test('the last bit of a quotient decides nothing', () => {
    // 0.1 + 0.2 s is not 0.3 s in binary: 3000 rpm at 10 000 rpm/s must still be read as filling 0.3 s.
    expect(found([segment(3000, 1000, 40), segment(0, 10000, 0.1 + 0.2)])).toEqual([])
    expect(found([segment(3000, 10000, 0.1 + 0.2)]).filter(([code]) => code === 'ramp')).toHaveLength(1)
  })

  test('says what was compared, and that the limit is not confirmed until it is', () => {
    const program = [segment(500, 500, 5), segment(3000, 500, 5)]
    expect(check(program).findings[0]?.message).toBe(
      "Segment 2: from 500 to 3000 rpm at 500 rpm/s takes 5 s, not shorter than the segment's 5 s, so no time at speed is left; limit not confirmed.",
    )
    const confirmed = check(program, { coater: { ...usualCoater, limitsConfirmed: true } }).findings[0]
    expect(confirmed).toMatchObject({ limitConfirmed: true })
    expect(confirmed?.message).not.toContain('confirmed')
  })
})

describe('the segment that sets the thickness', () => {
  test('is the last one at the highest speed', () => {
    expect(mainSegment(good)).toBe(1)
    expect(mainSegment([segment(3000, 1000, 10), segment(500, 1000, 5), segment(3000, 1000, 30)])).toBe(2)
    expect(mainSegment([])).toBe(-1)
    expect(mainSegment([segment(0, 100, 5)])).toBe(-1)
  })

  test('is warned of less than 10 s at speed and of a ramp over a quarter; other segments are not', () => {
    expect(found([segment(500, 500, 2), segment(3000, 1000, 12), segment(0, 1000, 3)])).toEqual([
      ['dwell', 'warning', 2],
    ])
    expect(found([segment(500, 100, 8), segment(3000, 300, 30)])).toEqual([['dwell', 'warning', 2]])
    expect(found([segment(500, 500, 2), segment(3000, 1000, 12.5)])).toEqual([])
    expect(found([segment(500, 500, 2), segment(3000, 250, 40)])).toEqual([])
  })

  test('a warning does not make a program outside', () => {
    expect(check([segment(3000, 1000, 8)])).toMatchObject({ ok: true })
  })

  test('a ramp that takes it all is said once, with the time left at speed', () => {
    expect(found([segment(500, 500, 5), segment(3000, 500, 5)])).toEqual([
      ['ramp', 'outside', 2],
      ['dwell', 'warning', 2],
    ])
  })
})

describe('the tools', () => {
  test('speed up to the limit is within, above it outside', () => {
    expect(found([segment(6000, 1000, 40)])).toEqual([])
    expect(check([segment(6001, 1000, 40)]).findings[0]).toMatchObject({
      code: 'speed',
      severity: 'outside',
      value: 6001,
      limit: 6000,
      limitConfirmed: false,
      message: "Segment 1: 6001 rpm is above the coater's limit of 6000 rpm; limit not confirmed.",
    })
  })

  test('a chuck must be wider than half the substrate and not wider than it', () => {
    const chuck = (chuckMm: number) =>
      check(good, { chuckMm, diameterMm: 100 }).findings.map(({ code, value, limit }) => [code, value, limit])
    expect(chuck(50)).toEqual([['chuck', 50, 50]])
    expect(chuck(50.1)).toEqual([])
    expect(chuck(100)).toEqual([])
    expect(chuck(100.1)).toEqual([['chuck', 100.1, 100]])
  })

  test('a bake up to the limit of the plate is within, above it outside', () => {
    const bake = (temperature: number, limitsConfirmed = false) =>
      check(good, {
        bake: { temperature, time: 60 },
        hotPlate: { ...usualHotPlate, limitsConfirmed },
      }).findings
    expect(bake(300)).toEqual([])
    expect(bake(301)[0]).toMatchObject({ code: 'bake', value: 301, limit: 300, limitConfirmed: false })
    expect(bake(301, true)[0]).toMatchObject({ limitConfirmed: true })
  })
})

describe('what each check came to', () => {
  const states = (input: CheckInput) =>
    Object.fromEntries(checkStates(input, checkProgram(input)).map(({ code, state }) => [code, state]))

  test('what is not given is not checked', () => {
    const none = 'not checked'
    const all = Object.fromEntries(checkCodes.map((code) => [code, none]))
    expect(states({ segments: [], coater: usualCoater })).toEqual(all)
  })

  test('within and outside', () => {
    expect(
      states({
        segments: [segment(500, 100, 5), segment(7000, 1000, 40)],
        coater: usualCoater,
        diameterMm: 100,
        chuckMm: 60,
        bake: { temperature: 350, time: 60 },
        hotPlate: usualHotPlate,
      }),
    ).toMatchObject({ ramp: 'outside', dwell: 'within', speed: 'outside', chuck: 'within', bake: 'outside' })
  })

  test('a check with nothing but warnings is within, and says so', () => {
    const input: CheckInput = { segments: [segment(3000, 1000, 8)], coater: usualCoater }
    const check = checkProgram(input)
    expect(check.ok).toBe(true)
    const dwell = checkStates(input, check).find(({ code }) => code === 'dwell')
    expect(dwell).toMatchObject({ state: 'within' })
    expect(dwell?.findings[0]?.message).toMatch(/holds its speed for 5 s, less than 10 s/)
    expect(dwell && stateInWords(dwell)).toBe('within, with a warning')
    expect(stateInWords({ state: 'within', findings: [] })).toBe('within')
    expect(stateInWords({ state: 'outside', findings: check.findings })).toBe('outside')
  })
})

test('the time at speed is what is drawn, also after a ramp that did not fit', () => {
  const segments = [segment(3000, 500, 5), segment(3000, 1000, 20)]
  const check = checkProgram({ segments, coater: usualCoater })
  // 2500 rpm after 5 s, 3000 rpm at 5.5 s, held to 25 s.
  expect(check.segments.map(({ timeAtSpeed }) => timeAtSpeed)).toEqual([0, 19.5])
  expect(programProfile(segments, true)).toContainEqual({ time: 5.5, rpm: 3000 })
})

describe('the program drawn as speed against time', () => {
  test('ramps, holds and slows down', () => {
    expect(programProfile(good, true)).toEqual([
      { time: 0, rpm: 0 },
      { time: 1, rpm: 500 },
      { time: 5, rpm: 500 },
      { time: 7.5, rpm: 3000 },
      { time: 45, rpm: 3000 },
      { time: 48, rpm: 0 },
      { time: 50, rpm: 0 },
    ])
    expect(programProfile([segment(500, 500, 5)], false)).toEqual([
      { time: 0, rpm: 0 },
      { time: 1, rpm: 500 },
      { time: 6, rpm: 500 },
    ])
  })

  test('a speed that is not reached is not drawn, and the next segment starts from the one that is', () => {
    expect(programProfile([segment(3000, 500, 4), segment(0, 1000, 1)], true)).toEqual([
      { time: 0, rpm: 0 },
      { time: 4, rpm: 2000 },
      { time: 5, rpm: 1000 },
    ])
  })

  const segments = fc.array(
    fc.record({
      rpm: fc.integer({ min: 0, max: 8000 }),
      ramp: fc.integer({ min: 1, max: 20000 }),
      time: fc.double({ min: 0, max: 100, noNaN: true }),
    }),
    { maxLength: 6 },
  )
  test('time never runs back, speed never passes what is set, and no ramp is steeper than asked', () => {
    fc.assert(
      fc.property(segments, fc.boolean(), (program, rampInside) => {
        const points = programProfile(program, rampInside)
        const highest = Math.max(0, ...program.map((one) => one.rpm))
        const steepest = Math.max(0, ...program.map((one) => one.ramp))
        points.slice(1).forEach((point, i) => {
          const before = points[i] as (typeof points)[number]
          expect(point.time).toBeGreaterThan(before.time)
          expect(point.rpm).toBeLessThanOrEqual(highest)
          expect(point.rpm).toBeGreaterThanOrEqual(0)
          const rise = Math.abs(point.rpm - before.rpm)
          expect(rise).toBeLessThanOrEqual(steepest * (point.time - before.time) * (1 + 1e-6) + 1e-6)
        })
        if (!rampInside) return
        const end = program.reduce((sum, one) => sum + one.time, 0)
        expect(points.at(-1)?.time).toBeCloseTo(end, 6)
      }),
    )
  })

  test('every check has the shape that the contract promises, and is ok where nothing is outside', () => {
    fc.assert(
      fc.property(segments, fc.boolean(), (program, rampInside) => {
        const result = check(program, { coater: { ...usualCoater, rampInside } })
        expect(programCheck.safeParse(result).error).toBeUndefined()
        expect(result.ok).toBe(!result.findings.some((finding) => finding.severity === 'outside'))
      }),
    )
  })
})
