import { describe, expect, test } from 'vitest'
import { shortOfHigh } from '../../../shared/design/short-of-high.ts'
import { planOutsideLimits } from '../../../shared/process/plan-limits.ts'
import { continuous } from '../design/examples.ts'

const speed = continuous('speed', { role: 'speed', unit: 'rpm', low: 2000, high: 9000, levels: 3, step: 10 })
const study = {
  program: [
    { rpm: 500, ramp: 500, time: 5 },
    { rpm: 3000, ramp: 1000, time: 40 },
  ],
  bakeTemperature: 100,
  bakeTime: 60,
}
const tools = {
  coater: { maxSpeed: 6000, rampInside: true, limitsConfirmed: true },
  hotPlate: { maxTemperature: 300, limitsConfirmed: true },
}
const check = (speeds: number[], of = study) =>
  planOutsideLimits({
    runs: speeds.map((value) => ({ settings: { speed: value } })),
    factors: [speed],
    study: of,
    tools,
  })

describe('a plan against the limits of its tools', () => {
  test('names how many runs are outside, and the numbers of the first', () => {
    const [only, more] = check([2000, 5500, 7000, 9000])
    expect(more).toBeUndefined()
    expect(only).toMatchObject({ code: 'speed' })
    expect(only?.message).toBe(
      "2 of 4 runs would be outside. Segment 2: 7000 rpm is above the coater's limit of 6000 rpm.",
    )
  })

  test('says nothing where all are within', () => {
    expect(check([2000, 6000])).toEqual([])
  })

  test('sees a ramp that does not fit, and a bake above the plate', () => {
    const short = { ...study, program: [{ rpm: 3000, ramp: 100, time: 10 }], bakeTemperature: 350 }
    const found = check([2000, 3000], short)
    expect(found.map(({ code }) => code)).toEqual(['ramp', 'dwell', 'bake'])
    expect(found[0]?.message).toMatch(/^All runs would be outside/)
    expect(found[1]?.message).toMatch(/^All runs would be coated with a warning/)
  })

  test('a step that does not reach the high end is said', () => {
    expect(shortOfHigh([{ ...speed, high: 4500, step: 1000 }])[0]?.message).toContain(
      'highest setting is 4000',
    )
    expect(shortOfHigh([speed])).toEqual([])
  })
})
