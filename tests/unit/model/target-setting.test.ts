import { expect, test } from 'vitest'
import { fitModel } from '../../../shared/model/fit.ts'
import { targetSetting, withFrame } from '../../../shared/model/target-setting.ts'
import { transformationOf } from '../../../shared/model/transformation.ts'

const speeds = [2000, 2500, 3000, 3500, 4000, 4500]
const tableOf = (thickness: number[]) => ({
  rows: speeds.length,
  columns: [
    { name: 'speed', unit: 'rpm', values: speeds },
    { name: 'thickness', unit: 'nm', values: thickness },
  ],
})
const spin = tableOf([1841, 1640, 1502, 1387, 1299, 1226])
const target = (thickness: number, on = spin, model = 'log(thickness) ~ log(speed)') => {
  const fit = fitModel({ table: on, model })
  if (!fit.ok) throw new Error('not fitted')
  return targetSetting(withFrame(fit.value), { factor: 'speed', target: thickness })
}

test('the words hold the setting and both intervals, with units', () => {
  const answer = target(1500)
  if (!answer.ok) throw new Error('not reached')
  const { setting, lower, upper, oneRun, words } = answer.value
  expect((lower as number) < setting && setting < (upper as number)).toBe(true)
  // One new run scatters besides.
  expect((oneRun.lower as number) < (lower as number) && (oneRun.upper as number) > (upper as number)).toBe(
    true,
  )
  expect(words).toMatch(/^The fit reaches thickness 1500 nm at speed 3\d\d\d rpm\. With 95 % confidence/)
})

test('a slope that is not clear leaves no ends, and says so', () => {
  const flat = tableOf([1500, 1480, 1510, 1495, 1512, 1489])
  const answer = target(1498, flat, 'thickness ~ speed')
  expect(answer).toMatchObject({ ok: true, value: { lower: null, upper: null } })
  if (answer.ok) expect(answer.value.words).toContain('the slope is not clearly other than 0')
})

test.each([
  [9000, 'log(thickness) ~ log(speed)', 'targetNotReached'],
  [-1, 'log(thickness) ~ log(speed)', 'outsideDomain'],
  [1500, 'thickness ~ speed + speed^2 + speed^3 + speed^4 + speed^5', 'noDegreesOfFreedom'],
])('a target of %d under %s is refused: %s', (thickness, model, code) => {
  expect(target(thickness, spin, model)).toMatchObject({ ok: false, problems: [{ code }] })
})

test.each([
  [
    'a factor of ten',
    [1, 2, 4, 9, 15, 33],
    /^The readings support a logarithm \(λ .* at 95 %\);.* speak against the response as/,
  ],
  [
    'a straight line',
    [10, 20.2, 29.9, 40.1, 49.9, 60],
    /^The readings support the response as it was measured .*speak against a logarithm/,
  ],
  [
    'a narrow range',
    [1500, 1480, 1510, 1495, 1512, 1489],
    /do not tell a logarithm from the response as it was measured/,
  ],
])('%s in words', (_, thickness, words) => {
  const answer = transformationOf({ table: tableOf(thickness), model: 'log(thickness) ~ speed' })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  expect(answer.value.words).toMatch(words)
})
