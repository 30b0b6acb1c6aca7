import { describe, expect, test } from 'vitest'
import { variationSentence } from '../../../shared/model/lot-sentences.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { codes, comparisonOf, lots, speeds } from './lot-runs.ts'

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
