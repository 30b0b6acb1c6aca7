import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Settings } from '../../../shared/contract/things.ts'
import { tQuantile } from '../../../shared/model/distributions.ts'
import { type FittedMixed, fitMixed, type MixedOptions } from '../../../shared/model/mixed.ts'
import type { Table } from '../../../shared/model/table.ts'
import { seeded } from '../../../shared/random.ts'
import { tableOf } from './some-runs.ts'

function mixed(table: Table, options: Partial<MixedOptions> = {}): FittedMixed {
  const answer = fitMixed({ table, model: 'y ~ bake', random: 'visit', ...options })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

function codes(table: Table, options: Partial<MixedOptions> = {}): string[] {
  const answer = fitMixed({ table, model: 'y ~ bake', random: 'visit', ...options })
  return (answer.ok ? answer.value.problems : answer.problems).map(({ code }) => code)
}

/** Invented plate visits: bake temperature is set once a visit, speed within it. */
function visits(options: { seed: number; visits?: number; runs?: number; between?: number }): Table {
  const { seed, visits: count = 8, runs = 4, between = 1 } = options
  const random = seeded(seed)
  const rows = Array.from({ length: count }, (_, v) => {
    const shift = between * random.normal()
    return Array.from({ length: runs }, (_, r) => {
      const bake = 90 + 10 * (v % 3)
      const speed = 2000 + 500 * ((r * 3 + v) % 5)
      return { visit: `v${v}`, bake, speed, y: 50 + 0.1 * bake - speed / 1000 + shift + random.normal() }
    })
  }).flat()
  return tableOf({
    visit: rows.map((row) => row.visit),
    bake: rows.map((row) => row.bake),
    speed: rows.map((row) => row.speed),
    y: rows.map((row) => row.y),
  })
}

const changed = (table: Table, name: string, change: (value: number) => number): Table => ({
  ...table,
  columns: table.columns.map((column) =>
    column.name === name
      ? { ...column, values: column.values.map((value) => change(value as number)) }
      : column,
  ),
})

const variancesOf = (fit: FittedMixed) => fit.strata.map(({ variance }) => variance)

function expectClose(actual: number[], expected: number[], relative = 1e-8): void {
  const size = Math.max(...expected.map(Math.abs))
  expect(actual).toHaveLength(expected.length)
  actual.forEach((value, i) => {
    expect(Math.abs(value - (expected[i] as number))).toBeLessThanOrEqual(relative * size)
  })
}

const someVisits = fc.record({
  seed: fc.integer({ min: 1, max: 1e6 }),
  visits: fc.integer({ min: 5, max: 9 }),
  runs: fc.integer({ min: 2, max: 5 }),
  between: fc.constantFrom(0, 0.5, 2, 50),
})

describe('what must not matter', () => {
  test('the order of the rows', () => {
    fc.assert(
      fc.property(someVisits, fc.integer(), (options, seed) => {
        const table = visits(options)
        const order = seeded(seed).shuffled(Array.from({ length: table.rows }, (_, row) => row))
        const columns = table.columns.map((column) => ({
          ...column,
          values: order.map((row) => column.values[row] ?? null),
        }))
        const [a, b] = [mixed(table), mixed({ ...table, columns })]
        expectClose(variancesOf(b), variancesOf(a))
        expectClose(
          b.report().terms.map(({ estimate }) => estimate),
          a.report().terms.map(({ estimate }) => estimate),
        )
        expectClose([b.report().logLikelihood as number], [a.report().logLikelihood as number])
      }),
      { numRuns: 25 },
    )
  })

  test('a constant added to the response', () => {
    fc.assert(
      fc.property(someVisits, (options) => {
        const table = visits(options)
        const [a, b] = [mixed(table), mixed(changed(table, 'y', (value) => value + 1e6))]
        expectClose(variancesOf(b), variancesOf(a), 1e-7)
        expectClose([b.report().terms[1]?.estimate ?? 0], [a.report().terms[1]?.estimate ?? 0], 1e-6)
      }),
      { numRuns: 25 },
    )
  })

  test('the coding of the fixed effects', () => {
    fc.assert(
      fc.property(someVisits, (options) => {
        const table = visits(options)
        const coded = changed(
          changed(table, 'bake', (value) => (value - 100) / 10),
          'speed',
          (value) => value / 1e3 - 3,
        )
        const model = 'y ~ bake*speed'
        const [a, b] = [mixed(table, { model }), mixed(coded, { model })]
        expectClose(variancesOf(b), variancesOf(a))
        const [first] = a.predict([{ bake: 97, speed: 2700 }])
        const [second] = b.predict([{ bake: -0.3, speed: -0.3 }])
        expectClose([second?.estimate ?? 0], [first?.estimate ?? 0])
        expectClose(second?.prediction ?? [], first?.prediction ?? [])
        expectClose([second?.df ?? 0], [first?.df ?? 0], 1e-6)
        // The likelihoods differ by the logarithm of the determinant of the change: ×10, ×1000, ×10 000.
        const shift = Math.log(10) + Math.log(1e3) + Math.log(1e4)
        expectClose([(a.report().logLikelihood ?? 0) + shift], [b.report().logLikelihood ?? 0])
      }),
      { numRuns: 25 },
    )
  })

  test('the unit of the weights, but for the residual variance', () => {
    const table = visits({ seed: 5 })
    const column = (factor: number) => table.columns[0]?.values.map((_, i) => factor * (1 + (i % 3))) ?? []
    const weighted = (factor: number) =>
      mixed(
        { ...table, columns: [...table.columns, { name: 'w', values: column(factor) }] },
        { weights: 'w' },
      )
    const [a, b] = [weighted(1), weighted(4)]
    expectClose([b.strata[0]?.variance ?? 0], [a.strata[0]?.variance ?? 0])
    expectClose([b.strata[1]?.variance ?? 0], [4 * (a.strata[1]?.variance ?? 0)])
    expectClose([b.report().logLikelihood ?? 0], [a.report().logLikelihood ?? 0])
  })
})

describe('variances that the runs hardly know', () => {
  // The means of the visits agree better than the runs inside them allow.
  const flat = tableOf({
    visit: ['a', 'a', 'b', 'b', 'c', 'c', 'd', 'd', 'e', 'e'],
    bake: [90, 90, 100, 100, 110, 110, 100, 100, 90, 90],
    y: [9, 11, 9.5, 10.5, 8.8, 11.2, 9.1, 10.9, 9.3, 10.7],
  })

  test('a variance of 0 is said, and still counted as estimated', () => {
    const fit = mixed(flat)
    expect(variancesOf(fit)[0]).toBe(0)
    expect(fit.problems.map(({ code }) => code)).toContain('zeroVariance')
    // Pooled, bake would have 8 degrees of freedom.
    expect(fit.report().terms[1]?.df).toBeLessThan(5)
  })

  test('fewer than 3 degrees of freedom are said', () => {
    const few = visits({ seed: 3, visits: 4 })
    expect(codes(few)).toContain('fewStratumDf')
    expect(codes(few, { stated: { visit: { variance: 1 } } })).not.toContain('fewStratumDf')
    expect(codes(visits({ seed: 3, visits: 8 }))).not.toContain('fewStratumDf')
  })

  test('a stated variance is taken as it is, and its effect told', () => {
    const table = visits({ seed: 3, visits: 4 })
    const [own, stated] = [mixed(table), mixed(table, { stated: { visit: { variance: 1 } } })]
    expect(stated.strata[0]).toMatchObject({ variance: 1, source: 'stated', df: 2 })
    expect(stated.problems.find(({ code }) => code === 'statedVariance')?.message).toMatch(
      /stated as 1 \(standard deviation 1\), and was not estimated: by these runs alone it would be .* ± ?[\d.]+ with it, ±[\d.]+ without/,
    )
    expect(stated.report([{ bake: 95 }]).predictions[0]?.varianceSource).toBe('stated')
    expect(stated.report().terms[1]?.df).toBeGreaterThan(own.report().terms[1]?.df ?? 0)
    const larger = mixed(table, { stated: { visit: { variance: 4 } } })
    expect(larger.report().terms[1]?.standardError).toBeGreaterThan(
      stated.report().terms[1]?.standardError ?? 0,
    )
  })

  test('a stratum without degrees of freedom needs a stated variance', () => {
    // Three visits, three temperatures as names: nothing is left between visits.
    const table = visits({ seed: 8, visits: 3 })
    const named = { ...table, columns: table.columns.map((column) => ({ ...column })) }
    const bake = named.columns[1] as (typeof named.columns)[number]
    bake.values = bake.values.map((value) => `${value} °C`)
    expect(codes(named)).toEqual(['noStratumDf'])
    expect(
      mixed(named, { stated: { visit: { variance: 0.5 } } })
        .problems.map(({ message }) => message)
        .join(),
    ).toContain('these runs alone cannot estimate it')
  })
})

describe('sessions', () => {
  const random = seeded(11)
  const sessions = Array.from({ length: 24 }, (_, i) => `day ${i % 6}`)
  const shifts = Array.from({ length: 6 }, () => 3 * random.normal())
  const table = tableOf({
    session: sessions,
    bake: sessions.map((_, i) => 90 + 10 * (Math.floor(i / 6) % 3)),
    y: sessions.map((_, i) => 100 + (shifts[i % 6] ?? 0) + 0.3 * random.normal()),
  })

  test('another session counts the variance of sessions twice, the present one only as far as it is not known', () => {
    const fit = mixed(table, { random: 'session' })
    const report = fit.report([{ bake: 100 }])
    const [same, other] = report.predictions
    expect([same?.scope, other?.scope]).toEqual(['sameSession', 'otherSession'])
    const [session = 0, residual = 0] = variancesOf(fit)
    const half = ((other?.prediction[1] ?? 0) - (other?.prediction[0] ?? 0)) / 2
    expect(half).toBeGreaterThan(tQuantile(0.975, 1e6) * Math.sqrt(session * (1 + 1 / 6) + residual))
    expect(same?.standardErrorOfMean ?? 1).toBeLessThan(Math.sqrt(residual / 4) * 1.2)
    expect(fit.problems.map(({ code }) => code)).not.toContain('sameSession')
  })

  test('the present session is that of the last row unless one is given or the settings name one', () => {
    const own = (at: Settings, options = {}) =>
      mixed(table, { random: 'session', ...options }).predict([at])[0]
    expect(own({ bake: 100 })?.session).toBe('day 5')
    expect(own({ bake: 100 }, { present: 'day 2' })?.session).toBe('day 2')
    expect(own({ bake: 100 }, { present: 'day 2' })?.prediction).toEqual(
      own({ bake: 100, session: 'day 2' })?.prediction,
    )
    expect(own({ bake: 100, session: 'a new day' })?.session).toBe('day 5')
    // Shrunk from the mean of its readings towards that of all sessions.
    const { estimate: all } = mixed(table, { random: 'session' }).predict([{ bake: 100 }])[1]!
    for (const [i, shift] of shifts.entries()) {
      const { estimate } = own({ bake: 100, session: `day ${i}` })!
      expect(Math.sign(estimate - all)).toBe(Math.sign(shift - shifts.reduce((a, b) => a + b) / 6))
      expect(Math.abs(estimate - (100 + shift))).toBeLessThan(0.6)
    }
  })

  test('without a session column every prediction is for the same one, and says so', () => {
    const fit = mixed(visits({ seed: 1 }))
    expect(fit.predict([{ bake: 100 }]).map(({ scope }) => scope)).toEqual(['sameSession'])
    expect(fit.problems.map(({ code }) => code)).toContain('sameSession')
  })
})

describe('refusals name the place', () => {
  const table = visits({ seed: 2 })
  test.each([
    ['an unknown column', { random: 'tray' }, 'unknownColumn'],
    ['groups side by side', { random: 'visit + bake' }, 'random'],
    ['a function of a column', { random: 'log(bake)' }, 'random'],
    ['an empty text', { random: '' }, 'random'],
    ['a formula', { random: 'y ~ visit' }, 'random'],
    ['the response as a group', { random: 'y' }, 'random'],
    ['a group for each run', { random: 'visit/speed', model: 'y ~ bake' }, 'noStratumDf'],
    ['a variance stated for no group', { stated: { tray: { variance: 1 } } }, 'unknownGroup'],
    ['a negative stated variance', { stated: { visit: { variance: -1 } } }, 'notANumber'],
  ])('%s', (_, options, code) => {
    const data = 'model' in options ? { ...table, columns: table.columns } : table
    const answer = fitMixed({ table: data, model: 'y ~ bake', random: 'visit', ...options })
    expect(answer.ok ? [] : answer.problems.map((problem) => problem.code)).toContain(code)
  })

  test('runs without scatter', () => {
    expect(codes(changed(table, 'y', () => 1))).toEqual(['exactFit'])
    const byVisit = table.columns[0]?.values.map((value) => Number(String(value).slice(1)) ** 2) ?? []
    const columns = [...table.columns.slice(0, 3), { name: 'y', values: byVisit }]
    expect(codes({ ...table, columns })).toEqual(['exactFit'])
  })

  test('a row without its group is left out and named', () => {
    const columns = table.columns.map((column) =>
      column.name === 'visit'
        ? { ...column, values: column.values.map((v, i) => (i === 3 ? null : v)) }
        : column,
    )
    const fit = mixed({ ...table, columns })
    expect(fit.problems[0]).toMatchObject({ code: 'missingCell', row: 5, column: 'visit' })
    expect(fit.report().n).toBe(table.rows - 1)
  })

  test('a level or a setting that a prediction does not have', () => {
    expect(mixed(table).report([{}]).problems.at(-1)).toMatchObject({
      code: 'missingSetting',
      column: 'bake',
    })
  })
})

test('intervals for a whole-plot effect cover at their rate', () => {
  // 95 % of 400: 20 misses expected, standard deviation 4.4.
  let misses = 0
  for (let seed = 1; seed <= 400; seed++) {
    const term = mixed(visits({ seed, visits: 9, runs: 3 })).report().terms[1]
    if (term && ((term.lower ?? 0) > 0.1 || (term.upper ?? 0) < 0.1)) misses++
  }
  expect(misses).toBeGreaterThan(20 - 4 * 4.4)
  expect(misses).toBeLessThan(20 + 4 * 4.4)
})
