import { describe, expect, test } from 'vitest'
import { parseForbidden } from '../../../shared/design/forbid.ts'
import { bake, categorical, continuous, speed, time } from './examples.ts'

const factors = [speed, time, bake, categorical('lot', ['A', 'B', 'new one']), continuous('soft bake')]
const at = (change: object) => ({ speed: 3000, time: 40, bake: 100, lot: 'A', 'soft bake': 0, ...change })

function forbids(text: string, change: object): boolean {
  const answer = parseForbidden(text, factors)
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value.forbids(at(change))
}

describe('combinations to leave out', () => {
  test.each([
    ['bake > 105 and time > 40', { bake: 110, time: 41 }, true],
    ['bake > 105 and time > 40', { bake: 110, time: 40 }, false],
    ['bake >= 110 or time<=20', { time: 20 }, true],
    ['lot = B', { lot: 'B' }, true],
    ['lot != A and speed > 2500', { lot: 'B' }, true],
    ['lot = "new one"', { lot: 'new one' }, true],
    ['"soft bake" < -0.5', { 'soft bake': -0.6 }, true],
    ['"soft bake" < −0,5', { 'soft bake': -0.4 }, false],
    ['not (bake < 105 or time < 50)', { bake: 110, time: 60 }, true],
    ['not bake < 105 and time < 50', { bake: 110, time: 40 }, true],
    ['not bake < 105 and time < 50', { bake: 110, time: 60 }, false],
    // and binds closer than or
    ['bake = 90 or bake = 110 and time = 60', { bake: 90, time: 20 }, true],
    ['(bake = 90 or bake = 110) and time = 60', { bake: 90, time: 20 }, false],
    ['', {}, false],
  ])('%s with %j: %s', (text, change, expected) => {
    expect(forbids(text, change)).toBe(expected)
  })

  test.each([
    ['warmth > 3', 'no factor'],
    ['bake > hot', 'with a number'],
    ['bake > 105 time > 40', 'does not belong'],
    ['bake > 105 and', 'ends where a factor'],
    ['bake 105', 'comes <'],
    ['(bake > 105', 'not closed'],
    ['lot < B', 'by = or !='],
    ['lot = C', 'no level'],
    ['bake > 105 & time > 3', 'cannot be read'],
  ])('‘%s’ is refused and the place named', (text, part) => {
    const answer = parseForbidden(text, factors)
    expect(answer.ok).toBe(false)
    if (answer.ok) return
    expect(answer.problems[0]).toMatchObject({ code: 'forbid', column: 'forbid' })
    expect(answer.problems[0]?.message).toContain(part)
  })
})
