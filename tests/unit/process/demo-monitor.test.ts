import { expect, test } from 'vitest'
import { processEvent } from '../../../shared/contract/materials.ts'
import { recipeDecision } from '../../../shared/contract/recipes.ts'
import { falseAlarms } from '../../../shared/drift/false-alarms.ts'
import { alarmsOf, type DriftRule, driftRules } from '../../../shared/drift/rules.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'

const seeds = Array.from({ length: 240 }, (_, i) => i + 1)
/** By seed, ln of the mean of each monitor wafer. */
const series = seeds.map((seed) =>
  demoScenario(seed).monitor.runs.map(({ readings }) =>
    Math.log(readings.reduce((sum, { valueNm }) => sum + valueNm, 0) / readings.length),
  ),
)
const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
const column = (reading: number) => series.map((values) => values[reading - 1] as number)
/** Where the film starts, and how one reading scatters: over all studies, so that the limits are known. */
const centre = meanOf(column(1))
const sigma = Math.sqrt(
  meanOf(
    Array.from({ length: 24 }, (_, i) => {
      const values = column(i + 1)
      return (
        meanOf(values.map((value) => (value - meanOf(values)) ** 2)) * (seeds.length / (seeds.length - 1))
      )
    }),
  ),
)

/** Readings before the fresh bottle at which each study's rule is first broken; 14 where it never is. */
const firstAlarms = (rule: DriftRule) =>
  series
    .map((values) => (alarmsOf(values.slice(0, 13), { centre, sigma }, [rule])[0]?.index ?? 13) + 1)
    .sort((a, b) => a - b)

test('the monitor runs are what the contract takes: 24 readings over eight weeks, two events', () => {
  const { monitor, stages } = demoScenario()
  expect(recipeDecision.safeParse(monitor.decision).error).toBeUndefined()
  expect(monitor.runs.map(({ day }) => day)).toEqual([...monitor.runs.map(({ day }) => day)].sort())
  expect([monitor.runs.length, monitor.runs[0]?.day, monitor.runs.at(-1)?.day]).toEqual([
    24,
    '2026-01-05',
    '2026-02-27',
  ])
  for (const { kind } of monitor.events) expect(processEvent.shape.kind.safeParse(kind).success).toBe(true)
  const codes = [...stages.flatMap(({ runs }) => runs), ...monitor.runs].map(({ code }) => code)
  expect(new Set(codes).size).toBe(54)
})

test('one reading scatters by 0.6 %, and the bottle adds 0.24 % a reading until it is replaced', () => {
  // 0.61 % (trade facts of the demo): session 0.5, wafer 0.35, plate, bake, room and gauge besides.
  expect(Math.abs(sigma - 0.0061)).toBeLessThan(0.0006)
  const error = (sigma / Math.sqrt(seeds.length)) * Math.SQRT2
  const rise = meanOf(column(13)) - meanOf(column(1))
  expect(Math.abs(rise - Math.log((1 + 0.0008 * 37) / (1 + 0.0008)))).toBeLessThan(4 * error)
  expect(Math.abs(meanOf(column(14)) - meanOf(column(1)))).toBeLessThan(4 * error)
  // 1.5 °C warmer at the plate: −0.46 %, and one reading of ageing.
  const step = meanOf(column(19)) - meanOf(column(18))
  expect(Math.abs(step - (-0.0046 + 0.0024))).toBeLessThan(4 * error)
})

test('with limits that are known the drift is found at reading 6 to 8 in the middle of all studies', () => {
  const median = (rule: DriftRule) => firstAlarms(rule)[seeds.length / 2] as number
  // By another simulation: 6 by the weighted average, 7 by two of three, 8 by three deviations, 10 by eight in a row.
  expect(Math.abs(median('average') - 6)).toBeLessThanOrEqual(1)
  expect(Math.abs(median('two of three') - 7)).toBeLessThanOrEqual(1)
  expect(Math.abs(median('beyond three') - 8)).toBeLessThanOrEqual(1)
  expect(Math.abs(median('eight on one side') - 10)).toBeLessThanOrEqual(1)
  // The chance of an alarm of three deviations by reading 8: 1 − Π Φ-tails of the shifts, within its binomial error.
  const share = firstAlarms('beyond three').filter((reading) => reading <= 8).length / seeds.length
  const chance = 1 - [0, 1, 2, 3, 4, 5, 6, 7].reduce((none, i) => none * inside((0.0024 * i) / sigma), 1)
  expect(Math.abs(share - chance)).toBeLessThan(4 * Math.sqrt((chance * (1 - chance)) / seeds.length))
})

test('false alarms among 24 readings with limits that are known: 6 % by three deviations, 10 % by the average', () => {
  const expected: Partial<Record<DriftRule, number>> = {
    'beyond three': 0.06,
    average: 0.1,
    'two of three': 0.05,
    'eight on one side': 0.07,
  }
  for (const rule of driftRules) {
    const about = expected[rule]
    if (about === undefined) continue
    const { chance, standardError } = falseAlarms({ rules: [rule], points: null, among: 24, times: 4000 })
    // The figures are rounded to a percent.
    expect(Math.abs(chance - about), rule).toBeLessThan(0.005 + 4 * standardError)
  }
})

/** Chance that a normal reading shifted by so many deviations lies within ±3, by Abramowitz & Stegun 7.1.26. */
function inside(shift: number): number {
  return cumulative(3 - shift) - cumulative(-3 - shift)
}

function cumulative(z: number): number {
  const x = Math.abs(z) / Math.SQRT2
  const t = 1 / (1 + 0.3275911 * x)
  const tail =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) *
    Math.exp(-x * x)
  return z >= 0 ? 1 - tail / 2 : tail / 2
}
