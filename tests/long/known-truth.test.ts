import { expect, test } from 'vitest'
import { driftsFound, lotsFound, recipesFound } from '../unit/rehearsal/known-truth.ts'

const times = 200
/** So far may a share that is truly this one lie below it by chance. */
const chance = (share: number) => 3 * Math.sqrt((share * (1 - share)) / times)

// Counted: 200 of 200 held (98.1 % at least, 95 % confidence), 199 right; 89 % stated, 96 % good. Of the 0.7 % by which the
// true film is off, 0.36 ± 0.05 % is one-sided: a parabola in the spin time is that much too thin between 40 and 60 s.
test('the recipe by the demo’s sweep: interval holds 95 % of wafers of another day, 97 % right, no more promised than kept', () => {
  const found = recipesFound(times)
  console.log(JSON.stringify(found))
  const { held, right, bias, deviation, stated, good } = found
  expect(held.share!).toBeGreaterThan(0.95 - chance(0.95))
  expect(right.share!).toBeGreaterThan(0.97 - chance(0.97))
  expect(deviation).toBeLessThan(0.01)
  expect(Math.abs(bias)).toBeLessThan(0.006)
  expect(stated).toBeLessThan(good)
})

// Counted: 97.0 ± 1.2 %, and none of 200 called equal.
test('lot B of the demo: 1.8 % within the interval in 95 %, called equal in none of twenty', () => {
  const { held, equal } = lotsFound(times)
  console.log(JSON.stringify({ held, equal }))
  expect(Math.abs(held.share! - 0.95)).toBeLessThan(chance(0.95))
  expect(equal.share!).toBeLessThan(0.05)
})

// Counted: a trend in 200 of 200, its interval right in 93.5 ± 1.7 %; with limits from the first five readings an alarm
// before the fresh bottle in 99 ± 0.7 %, half of them by reading 9. Limits that are known: tests/unit/process/demo-monitor.
// What the fresh bottle changes beyond the trend, −3 %, lies in its interval in 93 ± 1.8 %; the plate set right, −0.46 %, in
// 96.5 ± 1.3 %, and is told from nothing in 14 %: it is less than one reading scatters.
test('the ageing bottle of the demo: a trend in all, its interval right in 95 %, an alarm before reading 14 in 95 %', () => {
  const { trend, held, bottle, plate, plateSeen, alarms, first } = driftsFound(times, 5)
  const median = first[Math.floor(first.length / 2)] as number
  console.log(JSON.stringify({ trend, held, bottle, plate, plateSeen, alarms, median }))
  expect(trend.share!).toBeGreaterThan(0.99)
  for (const { share } of [held, bottle, plate]) expect(Math.abs(share! - 0.95)).toBeLessThan(chance(0.95))
  expect(alarms.share!).toBeGreaterThan(0.95 - chance(0.95))
  expect(Math.abs(median - 9)).toBeLessThanOrEqual(1)
})
