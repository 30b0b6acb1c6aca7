import { describe, expect, test } from 'vitest'
import { comparison as comparisonSchema } from '../../../shared/contract/results/compare.ts'
import { fitModel } from '../../../shared/model/fit.ts'
import { lotMargin } from '../../../shared/model/lot-margin.ts'
import { slopeSentence, variationSentence } from '../../../shared/model/lot-sentences.ts'
import { type CompareOptions, compareGroups, type GroupComparison } from '../../../shared/model/lots.ts'
import type { Table } from '../../../shared/model/table.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { seeded } from '../../../shared/random.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { countCorrected } from './lot-scenario.ts'
import { tableOf } from './some-runs.ts'

/** Invented lots on a power law 1560·(speed/3000)^−0.505, each run with the given scatter. */
function lots(
  factors: Record<string, number>,
  options: {
    speeds: number[]
    scatter: number
    seed: number
    sessions?: (lot: string, i: number) => string | null
  },
): Table {
  const random = seeded(options.seed)
  const rows = Object.entries(factors).flatMap(([lot, factor]) =>
    options.speeds.map((speed, i) => ({
      lot,
      speed,
      thickness: 1560 * factor * (speed / 3000) ** -0.505 * Math.exp(options.scatter * random.normal()),
      session: options.sessions ? options.sessions(lot, i) : 'one',
    })),
  )
  return tableOf({
    lot: rows.map(({ lot }) => lot),
    speed: rows.map(({ speed }) => speed),
    thickness: rows.map(({ thickness }) => thickness),
    ...(options.sessions ? { session: rows.map(({ session }) => session) } : {}),
  })
}

function comparisonOf(options: Partial<CompareOptions> & { table: Table }): GroupComparison {
  const answer = compareGroups({
    model: 'log(thickness) ~ log(speed)',
    by: 'lot',
    target: 1500,
    margin: 0.01,
    ...options,
  })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

const speeds = [2000, 2500, 3000, 3500, 4000, 2000, 2500, 3000, 3500, 4000]
const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)

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

describe('sessions', () => {
  test('lots of different sessions are not judged equivalent', () => {
    const table = lots(
      { A: 1, B: 1 },
      { speeds, scatter: 0.001, seed: 8, sessions: (lot) => `day of ${lot}` },
    )
    const { shifts, problems } = comparisonOf({ table })
    expect(shifts[0]?.equivalent).toBeNull()
    expect(codes(problems)).toEqual(['noCommonSession'])
  })

  test('lots that share a session are not judged equivalent while runs name none, and are told so', () => {
    const sessions = (lot: string, i: number) => (lot === 'A' && i < 3 ? null : 'shared')
    const table = lots({ A: 1, B: 1 }, { speeds, scatter: 0.001, seed: 8, sessions })
    const { shifts, problems } = comparisonOf({ table })
    expect(shifts[0]?.equivalent).toBeNull()
    expect(codes(problems)).toEqual(['noCommonSession'])
    expect(problems[0]?.message).toMatch(/^Runs of A name no session.* Name the session of every run\.$/)
  })

  test('one common session is enough where the model holds the sessions apart', () => {
    const sessions = (lot: string, i: number) => (i < 5 ? 'shared' : `day of ${lot}`)
    const table = lots({ A: 1, B: 1 }, { speeds, scatter: 0.001, seed: 8, sessions })
    const model = 'log(thickness) ~ log(speed) + session'
    expect(comparisonOf({ table, model }).shifts[0]?.equivalent).toBe(true)
  })
})

describe('sessions that the model holds apart', () => {
  const sessions = (_: string, i: number) => (i < 5 ? 'day 1' : 'day 2')
  const table = lots({ A: 1, B: 1.02 }, { speeds, scatter: 0.003, seed: 12, sessions })
  const { tests, shifts } = comparisonOf({ table, model: 'log(thickness) ~ log(speed) + session' })

  test('are no part of a curve', () => {
    expect(tests.find(({ question }) => question === 'parallel')).toMatchObject({ df1: 1, df2: 15 })
  })

  test('all say what the shift is', () => {
    // The same speeds for each lot on each day: at the middle of them the two means of ten say it all.
    const means = [0, 10].map((from) => {
      const values = table.columns[2]?.values.slice(from, from + 10) as number[]
      return values.reduce((sum, value) => sum + Math.log(value), 0) / 10
    })
    const middle = comparisonOf({
      table,
      model: 'log(thickness) ~ log(speed) + session',
      target: null,
      at: { speed: Math.exp(speeds.reduce((sum, speed) => sum + Math.log(speed), 0) / 10) },
    })
    closeTo(middle.shifts[0]?.ratio, Math.exp(means[1]! - means[0]!), 1e-10)
    expect(shifts).toHaveLength(1)
  })
})

test('lots of the invented film, which are parallel, are called so at the rate that the test claims', () => {
  // Over 150 seeds of the demo study p should be uniform: 75 below 0.5 (standard deviation 6.1), 7.5 below 0.05 (2.7).
  // A single study can well say otherwise: the demo of seed 7 has p = 0.001 with the full second-order model.
  const model = 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time + session'
  const p = Array.from({ length: 150 }, (_, seed) => {
    const runs = demoScenario(seed + 1).stages.flatMap((stage) => stage.runs)
    const of = (name: 'speed' | 'time' | 'bake') => runs.map(({ settings }) => settings[name])
    const table = tableOf({
      speed: of('speed'),
      time: of('time'),
      bake: of('bake'),
      lot: runs.map(({ lot }) => lot as string),
      session: runs.map(({ session }) => session as string),
      thickness: runs.map(
        ({ readings }) => readings.reduce((sum, { valueNm }) => sum + valueNm, 0) / readings.length,
      ),
    })
    const { tests } = comparisonOf({ table, model })
    return tests.find(({ question }) => question === 'parallel')?.p ?? 0
  })
  const below = (limit: number) => p.filter((one) => one < limit).length
  expect(below(0.5)).toBeGreaterThan(75 - 4 * 6.1)
  expect(below(0.5)).toBeLessThan(75 + 4 * 6.1)
  expect(below(0.05)).toBeLessThan(7.5 + 4 * 2.7)
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

test('equal lots are called different in about 1 of 20 comparisons', () => {
  let different = 0
  for (let seed = 1; seed <= 200; seed++) {
    const table = lots({ A: 1, B: 1 }, { speeds: speeds.slice(0, 5), scatter: 0.004, seed })
    if ((comparisonOf({ table }).tests[0]?.p ?? 1) < 0.05) different++
  }
  expect(different).toBeGreaterThanOrEqual(3)
  expect(different).toBeLessThanOrEqual(20)
})

describe('equivalence where days are mixed into the lots', () => {
  // Invented data: lot B is 3.1 % thicker, the second day 3 % thinner; lot A was coated on the first day but once.
  const speeds = Array.from({ length: 26 }, (_, i) => 2000 + 250 * (i % 7))
  const lot = speeds.map((_, i) => (i < 19 ? 'A' : 'B'))
  const session = speeds.map((_, i) => (i < 18 ? 'day 1' : 'day 2'))
  const thickness = speeds.map(
    (speed, i) =>
      1500 *
      (speed / 3250) ** -0.5 *
      (lot[i] === 'B' ? 1.031 : 1) *
      (session[i] === 'day 2' ? 0.97 : 1) *
      (1 + 0.001 * Math.sin(7 * i)),
  )
  const table = {
    columns: [
      { name: 'speed', values: speeds },
      { name: 'lot', values: lot },
      { name: 'session', values: session },
      { name: 'thickness', values: thickness },
    ],
    rows: speeds.length,
  }
  const compared = (model: string, data: Table = table) => {
    const answer = compareGroups({ table: data, model, by: 'lot', target: 1500, margin: 0.01 })
    if (!answer.ok) throw new Error(answer.problems[0]?.message)
    return answer.value
  }

  test('is not judged while the model does not hold the sessions apart, and says what to add', () => {
    const { shifts, problems } = compared('log(thickness) ~ log(speed)')
    expect(shifts[0]?.ratio).toBeCloseTo(1, 2)
    expect(shifts[0]?.equivalent).toBeNull()
    expect(problems.find(({ code }) => code === 'sessionsMixed')?.message).toContain('Add + session')
  })

  test('is judged, and refused, once it does', () => {
    const { shifts } = compared('log(thickness) ~ log(speed) + session')
    expect(shifts[0]?.ratio).toBeCloseTo(1.031, 2)
    expect(shifts[0]?.equivalent).toBe(false)
  })

  test('is not judged where a run names no session', () => {
    const gaps = session.map((name, i) => (i === 3 ? null : name))
    const columns = table.columns.map((column) =>
      column.name === 'session' ? { ...column, values: gaps } : column,
    )
    expect(compared('log(thickness) ~ log(speed)', { ...table, columns }).shifts[0]?.equivalent).toBeNull()
  })
})

describe('lots that never shared a session', () => {
  /** A on day 1, B on day 2, and on both days wafers of R, whose readings tell the days apart. */
  const joined = (seed: number, rOnBoth = true) => {
    const options = { speeds: [...speeds, ...speeds], scatter: 0.002, seed }
    const a = lots({ A: 1 }, { ...options, sessions: () => 'day 1' })
    const b = lots({ B: 1.02 }, { ...options, seed: seed + 1, sessions: () => 'day 2' })
    const r = lots(
      { R: 0.95 },
      { ...options, seed: seed + 2, sessions: (_, i) => (rOnBoth && i % 2 === 0 ? 'day 1' : 'day 2') },
    )
    const parts = [a, b, r]
    const table: Table = {
      rows: parts.reduce((sum, { rows }) => sum + rows, 0),
      columns: a.columns.map((column, i) => ({
        ...column,
        values: parts.flatMap(({ columns }) => columns[i]?.values ?? []),
      })),
    }
    // Day 2 reads 2 % less, so that the means of A and B agree although the lots differ.
    const [session, thickness] = ['session', 'thickness'].map(
      (name) => table.columns.find((c) => c.name === name)!,
    )
    const values = thickness!.values.map(
      (nm, i) => Number(nm) * (session!.values[i] === 'day 2' ? 1 / 1.02 : 1),
    )
    return {
      ...table,
      columns: table.columns.map((column) => (column === thickness ? { ...column, values } : column)),
    }
  }
  const model = 'log(thickness) ~ log(speed) + session'

  test('are judged through wafers of a third that stand in the sessions of both, which is said', () => {
    const { shifts, problems } = comparisonOf({ table: joined(21), model })
    const b = shifts.find(({ group }) => group === 'B')!
    closeTo(b.ratio, 1.02, 0.005)
    expect(b.equivalent).toBe(false)
    expect(codes(problems)).toEqual(['throughOthers'])
    expect(problems[0]?.message).toContain('through the runs of R')
  })

  test('are not judged where no wafers join their sessions, or the model does not hold sessions apart', () => {
    const apart = comparisonOf({ table: joined(21, false), model: 'log(thickness) ~ log(speed)' })
    expect(apart.shifts.find(({ group }) => group === 'B')?.equivalent).toBeNull()
    expect(codes(apart.problems)).toContain('noCommonSession')
    const mixed = comparisonOf({ table: joined(21), model: 'log(thickness) ~ log(speed)' })
    expect(mixed.shifts.find(({ group }) => group === 'B')?.equivalent).toBeNull()
    expect(codes(mixed.problems)).toContain('sessionsMixed')
  })
})

test('lots 1.8 % thicker and 1.3 % thinner are corrected within their intervals, and not called equal', () => {
  const { of, shifts, speeds: corrected, beside, narrower, equal, notJudged } = countCorrected(50)
  // Within 4 standard deviations of 95 of 100.
  const reach = 4 * Math.sqrt(of * 0.95 * 0.05)
  for (const inside of [shifts, corrected, beside]) expect(Math.abs(inside - 0.95 * of)).toBeLessThan(reach)
  expect(equal).toBeLessThan(0.05 * of)
  expect(notJudged).toBe(0)
  // What two lots share in a session cancels beside the reference, and not on another day.
  expect(narrower).toBe(of)
})

describe('sessions with a variance of their own', () => {
  const sessions = (_: string, i: number) => (i < 5 ? 'day 1' : 'day 2')
  const table = lots({ A: 1, B: 1.02 }, { speeds, scatter: 0.003, seed: 12, sessions })
  const over = comparisonOf({ table, overDays: { thickness: true }, target: null })
  const held = comparisonOf({ table, model: 'log(thickness) ~ log(speed) + session', target: null })

  test('give the shift of sessions held apart where each lot was coated alike in each', () => {
    expect(over.variation.map(({ group, source }) => [group, source])).toEqual([
      ['session', 'stated'],
      ['residual', 'estimated'],
    ])
    closeTo(over.shifts[0]?.ratio, held.shifts[0]?.ratio as number, 1e-9)
    expect(over.shifts[0]?.equivalent).toBe(false)
    expect(codes(over.problems)).not.toContain('sessionsMixed')
  })

  test('do not say that lots of different sessions are equal, and count the days in their shift', () => {
    const apart = lots(
      { A: 1, B: 1 },
      { speeds, scatter: 0.001, seed: 8, sessions: (lot) => `day of ${lot}` },
    )
    const [plain] = comparisonOf({ table: apart }).shifts
    const [shift] = comparisonOf({ table: apart, overDays: { thickness: true } }).shifts
    expect(shift?.equivalent).toBeNull()
    const width = (one: typeof shift) => (one?.upper as number) - (one?.lower as number)
    // Two days at 0.6 % each: √2·0.6 %, against the scatter of ten wafers at 0.1 %.
    expect(width(shift)).toBeGreaterThan(10 * width(plain))
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
  expect(lotMargin({ targetNm: 1500, toleranceNm: null })).toEqual({
    margin: 0.01,
    from: 'usual, as no tolerance is stated',
  })
})

test('the spread of days is said with where it is known from', () => {
  const variation = [
    { group: 'session', standardDeviation: 0.006, df: 3, source: 'stated' as const },
    { group: 'residual', standardDeviation: 0.0035, df: 12, source: 'estimated' as const },
  ]
  expect(variationSentence(variation, { logarithmic: true })).toContain(
    'sessions 0.60 % (taken by default), runs 0.35 %',
  )
  expect(variationSentence(variation.slice(1), { logarithmic: true })).toContain('no variance of their own')
})
