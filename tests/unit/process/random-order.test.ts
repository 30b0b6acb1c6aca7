import { expect, test } from 'vitest'
import { budgetOf } from '../../../shared/process/budget.ts'
import { randomOrderWait } from '../../../shared/process/random-order.ts'
import { seeded } from '../../../shared/random.ts'
import { bench } from '../design/examples.ts'

const run = (plateTemperature: number, session: string | null = null, reference = false) => ({
  plateTemperature,
  session,
  reference,
})

/** The 18 runs of a face-centred design with four centre points: 5 at 90 °C, 8 at 100 °C, 5 at 110 °C. */
const sweep = [90, 100, 110].flatMap((temperature) =>
  Array.from({ length: temperature === 100 ? 8 : 5 }, () => run(temperature)),
)

test('the mean over all orders is that of many drawn ones, and of a simulation of the same 18 runs', () => {
  const exact = randomOrderWait(sweep, bench) as number
  // 177 min: a simulation of random orders with these rates (computed independently of this program).
  expect(Math.round(exact)).toBe(177)
  const random = seeded(1)
  const drawn = Array.from(
    { length: 2000 },
    () => budgetOf({ runs: random.shuffled(sweep), bench }).plateMinutes,
  )
  const mean = drawn.reduce((sum, value) => sum + value, 0) / drawn.length
  const variance = drawn.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (drawn.length - 1)
  expect(Math.abs(mean - exact)).toBeLessThan(4 * Math.sqrt(variance / drawn.length))
})

test('reference wafers keep their places, and each session is shuffled for itself', () => {
  const session = (name: string) => [
    run(100, name, true),
    ...[90, 90, 100, 110].map((temperature) => run(temperature, name)),
    run(100, name, true),
  ]
  const some = [...session('Session 1'), ...session('Session 2')]
  const exact = randomOrderWait(some, bench) as number
  const random = seeded(2)
  const drawn = Array.from({ length: 3000 }, () => {
    const order = ['Session 1', 'Session 2'].flatMap((name) => {
      const [first, ...rest] = session(name)
      return [first!, ...random.shuffled(rest.slice(0, -1)), rest.at(-1)!]
    })
    return budgetOf({ runs: order, bench }).plateMinutes
  })
  const mean = drawn.reduce((sum, value) => sum + value, 0) / drawn.length
  const variance = drawn.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (drawn.length - 1)
  expect(Math.abs(mean - exact)).toBeLessThan(4 * Math.sqrt(variance / drawn.length))
})

test('there is none where the plate is not set, or its rates are not known', () => {
  expect(randomOrderWait(sweep, { ...bench, hotPlate: null })).toBeNull()
  expect(randomOrderWait([{ plateTemperature: null, reference: false }], bench)).toBeNull()
  expect(randomOrderWait([run(90)], bench)).toBe(0)
})
