import { describe, expect, test } from 'vitest'
import { comparison as comparisonSchema } from '../../../shared/contract/results/compare.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { lotMargin } from '../../../shared/model/lot-margin.ts'
import { slopeSentence } from '../../../shared/model/lot-sentences.ts'
import { type CompareOptions, compareGroups } from '../../../shared/model/lots.ts'
import { seeded } from '../../../shared/random.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { codes, comparisonOf, lots, speeds } from './lot-runs.ts'
import { tableOf } from './some-runs.ts'

describe('lots that differ by a factor', () => {
  const table = lots({ A: 1, B: 1.018, C: 0.987 }, { speeds, scatter: 0.002, seed: 3 })
  const comparison = comparisonOf({ table })
  const [b, c] = comparison.shifts

  test('have parallel curves, but not the same one', () => {
    const [same, parallel] = comparison.tests
    expect(same?.p).toBeLessThan(1e-6)
    expect(parallel?.p).toBeGreaterThan(0.05)
    expect(parallel).toMatchObject({ df1: 2, df2: 24 })
  })

  test('shift by that factor', () => {
    expect(b?.lower).toBeLessThan(1.018)
    expect(b?.upper).toBeGreaterThan(1.018)
    closeTo(b?.ratio, 1.018, 0.003)
    closeTo(c?.ratio, 0.987, 0.003)
  })

  test('are brought back by the speed (factor)^(1 / 0.505) times the first lot’s', () => {
    // 1500 = 1560·(N/3000)^−0.505: N = 3000·1.04^(1/0.505) = 3242.3 rpm for the first lot.
    closeTo(comparison.reference.speedFor, 3000 * 1.04 ** (1 / 0.505), 0.004)
    closeTo(b?.speedFor, 3000 * (1.04 * 1.018) ** (1 / 0.505), 0.004)
    closeTo(c?.speedFor, 3000 * (1.04 * 0.987) ** (1 / 0.505), 0.004)
    expect(b?.speedLower).toBeLessThan(b?.speedFor as number)
    expect(b?.speedUpper).toBeGreaterThan(b?.speedFor as number)
  })

  test('are equivalent within 2.5 %, not within 1 %', () => {
    expect(comparison.shifts.map(({ equivalent }) => equivalent)).toEqual([false, false])
    const wide = comparisonOf({ table, margin: 0.025 })
    expect(wide.shifts.map(({ equivalent }) => equivalent)).toEqual([true, true])
    expect(comparisonOf({ table, margin: null }).shifts[0]?.equivalent).toBeNull()
  })

  test('the result has the shape of the contract', () => {
    const { problems: _, ...rest } = comparison
    expect(comparisonSchema.strict().parse(JSON.parse(JSON.stringify(rest)))).toEqual(rest)
  })

  test('can be compared two at a time, the first in order of appearance as reference', () => {
    const two = comparisonOf({ table, groups: ['C', 'B'] })
    expect(two.groups).toEqual(['B', 'C'])
    closeTo(two.shifts[0]?.ratio, 0.987 / 1.018, 0.003)
  })

  test('terms in the lot that the model already has change nothing', () => {
    const crossed = comparisonOf({ table, model: 'log(thickness) ~ log(speed) * lot' })
    expect(crossed).toEqual(comparison)
  })

  test('have the same ratio on either logarithmic scale', () => {
    const [other] = comparisonOf({ table, model: 'log10(thickness) ~ log(speed)' }).shifts
    closeTo(other?.ratio, b?.ratio as number)
    closeTo(other?.lower, b?.lower as number)
    closeTo(other?.upper, b?.upper as number)
  })
})

describe('a ratio of two means off the logarithmic scale', () => {
  const table = lots({ A: 1, B: 1.018 }, { speeds: Array(8).fill(3000), scatter: 0.01, seed: 11 })
  const readings = table.columns[2]?.values as number[]

  /** Fieller's interval of N/D for two means of eight with one variance, written out. */
  function fieller(top: number[], bottom: number[]): [number, number, number] {
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
    const squares = (values: number[]) => values.reduce((sum, value) => sum + (value - mean(values)) ** 2, 0)
    const [n, d] = [mean(top), mean(bottom)]
    const c = (2.144786687917804 ** 2 * (squares(top) + squares(bottom))) / 14 / 8
    const root = Math.sqrt((n * d) ** 2 - (d * d - c) * (n * n - c))
    return [n / d, (n * d - root) / (d * d - c), (n * d + root) / (d * d - c)]
  }

  test.each([
    ['thickness', (y: number) => y, 1],
    ['sqrt(thickness)', Math.sqrt, 2],
    ['inverse(thickness)', (y: number) => 1 / y, -1],
  ])('of %s is Fieller’s', (response, scale, power) => {
    // qt(0.975, 14) = 2.144786687917804 in R
    const [a, b] = [readings.slice(0, 8).map(scale), readings.slice(8).map(scale)]
    const expected = fieller(b, a).map((value) => value ** power)
    const [shift] = comparisonOf({ table, model: `${response} ~ 1`, target: null }).shifts
    const [lower, upper] = expected.slice(1).sort((x, y) => x - y)
    closeTo(shift?.ratio, expected[0] as number, 1e-11)
    closeTo(shift?.lower, lower as number, 1e-11)
    closeTo(shift?.upper, upper as number, 1e-11)
    expect(shift?.speedFor).toBeNull()
  })
})

describe('a new lot coated at one speed only', () => {
  const old = lots({ A: 1 }, { speeds, scatter: 0.002, seed: 5 })
  const fresh = lots({ B: 1.018 }, { speeds: [3250, 3250, 3250], scatter: 0.002, seed: 6 })
  const table = {
    rows: old.rows + fresh.rows,
    columns: old.columns.map((column, i) => ({
      ...column,
      values: [...column.values, ...(fresh.columns[i]?.values ?? [])],
    })),
  }

  test('is compared on parallel curves', () => {
    const { tests, shifts } = comparisonOf({ table })
    expect(tests[1]).toMatchObject({ question: 'parallel', f: null, df1: 0, p: null })
    closeTo(shifts[0]?.ratio, 1.018, 0.003)
    closeTo(shifts[0]?.speedFor, 3000 * (1.04 * 1.018) ** (1 / 0.505), 0.006)
  })
})

describe('a new lot with a slope of its own, coated at one time only', () => {
  // Lot B is 1.2 % thicker at 3000 rpm, and its exponent is 0.55 in place of 0.50; the times act alike.
  const film = (lot: string, speed: number, time: number) =>
    1500 * (lot === 'B' ? 1.012 : 1) * (speed / 3000) ** (lot === 'B' ? -0.55 : -0.5) * (time / 40) ** -0.08
  const runs = [
    ...[2000, 3000, 4000].flatMap((speed) => [20, 40, 60].map((time) => ({ lot: 'A', speed, time }))),
    ...[2500, 3000, 3000, 2500].flatMap((speed) => ['A', 'B'].map((lot) => ({ lot, speed, time: 40 }))),
  ]
  const random = seeded(11)
  const table = tableOf({
    lot: runs.map(({ lot }) => lot),
    speed: runs.map(({ speed }) => speed),
    time: runs.map(({ time }) => time),
    thickness: runs.map(
      ({ lot, speed, time }) => film(lot, speed, time) * Math.exp(0.0005 * random.normal()),
    ),
  })
  const comparison = comparisonOf({ table, model: 'log(thickness) ~ log(speed) + log(time)' })

  test('is read at the target from the curves that its runs tell, not from parallel ones', () => {
    expect(comparison.tests[1]?.p).toBeLessThan(0.001)
    expect(comparison).toMatchObject({ fittedCurves: 'separate', commonTerms: ['log(time)'] })
    closeTo(comparison.shifts[0]?.ratio, 1.012, 0.001)
    closeTo(comparison.shifts[0]?.speedFor, 3000 * 1.012 ** (1 / 0.55), 0.002)
    expect(comparison.slopes.map(({ term }) => term)).toEqual(['log(speed)'])
    closeTo(comparison.slopes[0]?.difference, -0.05, 0.2)
  })
})

describe('what cannot be compared', () => {
  const table = lots({ A: 1, B: 1.018 }, { speeds, scatter: 0.002, seed: 9 })
  const problemsOf = (options: Partial<CompareOptions>) => {
    const answer = compareGroups({
      table,
      model: 'log(thickness) ~ log(speed)',
      by: 'lot',
      target: 1500,
      margin: null,
      ...options,
    })
    return codes(answer.ok ? answer.value.problems : answer.problems)
  }

  test('is refused with its reason', () => {
    expect(problemsOf({ by: 'bottle' })).toEqual(['unknownColumn'])
    expect(problemsOf({ groups: ['A'] })).toEqual(['oneGroup'])
    expect(problemsOf({ model: 'log(thickness) ~ ln(speed)' })).toEqual(['formula'])
    expect(problemsOf({ model: 'log(thickness) ~ 0 + log(speed)' })).toEqual(['formula'])
    expect(problemsOf({ model: 'log(thickness) ~ log(rpm)' })).toEqual(['unknownColumn'])
  })

  test('a target out of reach leaves the shifts at the working point, without speeds', () => {
    const { shifts, reference, problems } = comparisonOf({ table, target: 50 })
    expect(reference.speedFor).toBeNull()
    closeTo(shifts[0]?.ratio, 1.018, 0.004)
    expect(codes(problems)).toEqual(['targetNotReached'])
  })

  test('rows without a lot are named by their own number', () => {
    const columns = table.columns.map((column) => ({ ...column, values: [...column.values] }))
    const [lot, , thickness] = columns
    if (lot) lot.values[1] = null
    if (thickness) thickness.values[12] = null
    const { problems } = comparisonOf({ table: { ...table, columns } })
    expect(problems).toMatchObject([
      { code: 'missingCell', row: 3, column: 'lot' },
      { code: 'missingCell', row: 14, column: 'thickness' },
    ])
    expect(problems[1]?.message).toContain('Row 14 ')
  })

  test('lots that differ in speed alone cannot be set apart', () => {
    const confounded = tableOf({
      lot: ['A', 'A', 'A', 'B', 'B', 'B'],
      speed: [2000, 2000, 2000, 4000, 4000, 4000],
      thickness: [1930, 1934, 1938, 1340, 1342, 1345],
    })
    const { shifts, problems } = comparisonOf({ table: confounded })
    expect(shifts).toEqual([])
    expect(codes(problems)).toContain('noShift')
  })
})

test('slopes of a model with interactions are those where the shifts are read, and say where', () => {
  const random = seeded(4)
  const rows = ['A', 'B'].flatMap((lot) =>
    [2000, 3000, 4000].flatMap((speed) =>
      [20, 40, 60].map((time) => ({
        lot,
        speed,
        time,
        thickness: 1500 * (speed / 3000) ** -0.5 * (time / 40) ** -0.05 * Math.exp(0.002 * random.normal()),
      })),
    ),
  )
  const of = <K extends keyof (typeof rows)[0]>(name: K) => rows.map((row) => row[name])
  const table = tableOf({ lot: of('lot'), speed: of('speed'), time: of('time'), thickness: of('thickness') })
  const { slopes, at } = comparisonOf({ table, model: 'log(thickness) ~ log(speed) * time' })
  const [speed, time] = slopes
  expect(slopes.map(({ term }) => term)).toEqual(['log(speed)', 'time'])
  expect(speed?.at).toEqual({ time: 40 })
  expect(time?.at).toEqual({ speed: at.speed })
  // The model with time counted from 40 s has that slope as its own term.
  const moved = tableOf({
    lot: of('lot'),
    speed: of('speed'),
    time: of('time').map((value) => value - 40),
    thickness: of('thickness'),
  })
  const fit = fitModel({ table: moved, model: 'log(thickness) ~ log(speed) * time * lot' })
  if (!fit.ok) throw new Error(fit.problems[0]?.message)
  const term = fit.value.report().terms.find((one) => one.term === 'log(speed).lot[B]')
  closeTo(speed?.difference, term?.estimate as number, 1e-7)
  closeTo(speed?.lower, term?.lower as number, 1e-7)
  closeTo(speed?.upper, term?.upper as number, 1e-7)
  expect(slopeSentence(speed!, { reference: 'A', level: 0.95 })).toMatch(
    /^Slope along log\(speed\) at time 40: lot B’s/,
  )
})

test('a speed is given exactly and as the coater can be set to it', () => {
  const table = lots({ A: 1, B: 1.018 }, { speeds, scatter: 0.002, seed: 3 })
  const { reference, shifts } = comparisonOf({ table, speedStep: 10 })
  for (const { speedFor, speedSet } of [reference, ...shifts]) {
    expect((speedSet as number) % 10).toBe(0)
    expect(Math.abs((speedSet as number) - (speedFor as number))).toBeLessThanOrEqual(5)
  }
  expect(comparisonOf({ table }).shifts[0]?.speedSet).toBeNull()
})

test('the margin is a third of the tolerance, else what is usual, and says which', () => {
  expect(lotMargin({ targetNm: 1500, toleranceNm: 30 })).toEqual({
    margin: 0.0067,
    from: 'a third of the tolerance, ±30 nm at 1500 nm',
  })
  expect(lotMargin({ targetNm: 5200, toleranceNm: 150 }, 'µm').from).toBe(
    'a third of the tolerance, ±0.15 µm at 5.2 µm',
  )
  expect(lotMargin({ targetNm: 1500, toleranceNm: null })).toEqual({
    margin: 0.01,
    from: 'usual, as no tolerance is stated',
  })
})
