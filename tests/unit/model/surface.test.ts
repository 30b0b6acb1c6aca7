import { describe, expect, test } from 'vitest'
import { fitFormula } from '../../../shared/model/fitted.ts'
import { parseFormula } from '../../../shared/model/formula.ts'
import { orthonormal } from '../../../shared/model/orthonormal.ts'
import { type FittedSurface, fitSurface, type SurfaceOptions } from '../../../shared/model/surface.ts'
import { surfaceAt, surfaceSlopes } from '../../../shared/model/surface-likelihood.ts'
import type { Table } from '../../../shared/model/table.ts'
import { seeded } from '../../../shared/random.ts'
import { someRuns, tableOf } from './some-runs.ts'

const model = 'y ~ x + z'

function surface(table: Table, options: Partial<SurfaceOptions> = {}): FittedSurface {
  const answer = fitSurface({ table, model, ...options })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

const problemsOf = (table: Table, options: Partial<SurfaceOptions> = {}) => {
  const answer = fitSurface({ table, model, ...options })
  return answer.ok ? answer.value.problems : answer.problems
}

const codes = (table: Table, options: Partial<SurfaceOptions> = {}) =>
  problemsOf(table, options).map(({ code }) => code)

/** Invented runs on a bent surface over x from 0 to 1 and z from 0 to 10. */
function bent(seed: number, runs: number, noise = 0.05): Table {
  const random = seeded(seed)
  const x = Array.from({ length: runs }, () => random.uniform())
  const z = x.map(() => 10 * random.uniform())
  const y = x.map((value, i) => height(value, z[i] as number) + noise * random.normal())
  return tableOf({ x, z, y })
}

const height = (x: number, z: number) => 20 + 3 * Math.sin(5 * x) + 0.3 * z * x - 0.02 * z * z

const without = (table: Table, row: number): Table => ({
  rows: table.rows - 1,
  columns: table.columns.map(({ name, values }) => ({ name, values: values.filter((_, i) => i !== row) })),
})

describe('the likelihood', () => {
  test.each(['matern52', 'squaredExponential'] as const)(
    'of %s has the slopes of its differences',
    (kernel) => {
      const table = bent(1, 15)
      const formula = parseFormula('y ~ x')
      const fitted = fitFormula({
        table,
        formula: formula.ok ? formula.value : { response: null, terms: [] },
      })
      if (!fitted.ok) throw new Error('The trend was not fitted.')
      const inputs = ['x', 'z'].map((name) =>
        Float64Array.from(table.columns.find((column) => column.name === name)?.values as number[]),
      )
      const data = { ...orthonormal(fitted.value), kernel, inputs }
      const start = [Math.log(0.4), Math.log(7), Math.log(1.5), Math.log(0.02)]
      const at = (logs: number[]) => {
        const [a = 1, b = 1, surface = 1, noise = 1] = logs.map(Math.exp)
        return { lengths: [a, b], surface, noise }
      }
      const { slopes } = surfaceSlopes(data, at(start)) ?? { slopes: [] }
      start.forEach((_, i) => {
        const value = (by: number) =>
          surfaceAt(data, at(start.map((log, j) => (j === i ? log + by : log))))?.value ?? Number.NaN
        expect((value(1e-5) - value(-1e-5)) / 2e-5).toBeCloseTo(slopes[i] ?? Number.NaN, 5)
      })
    },
  )
})

describe('a fitted surface', () => {
  const table = bent(7, 40)
  const fit = surface(table)

  test('follows the bends between the runs', () => {
    const at = [0.2, 0.5, 0.8].flatMap((x) => [2, 5, 8].map((z) => ({ x, z })))
    fit.predict(at).forEach(({ estimate, prediction }, i) => {
      const { x, z } = at[i] as { x: number; z: number }
      expect(Math.abs(estimate - height(x, z))).toBeLessThan(0.2)
      expect(prediction[0]).toBeLessThan(height(x, z))
      expect(prediction[1]).toBeGreaterThan(height(x, z))
    })
    expect(fit.residualStandardDeviation).toBeGreaterThan(0.02)
    expect(fit.residualStandardDeviation).toBeLessThan(0.1)
  })

  test.each(['none', 'constant', 'linear', 'quadratic'] as const)(
    'leaving one run out in closed form is the fit without it, trend %s',
    (trend) => {
      const whole = surface(table, { trend })
      const known = {
        lengths: Object.fromEntries(whole.lengths.map(({ input, length }) => [input, length])),
        variance: whole.surfaceVariance,
      }
      for (const row of [0, 17, 39]) {
        const rest = surface(without(table, row), { trend, known, noise: whole.noiseVariance })
        const [x, z, y] = table.columns.map(({ values }) => values[row] as number)
        const [prediction] = rest.predict([{ x: x as number, z: z as number }])
        const out = whole.leftOut[row]
        expect(out?.predicted).toBeCloseTo(prediction?.estimate ?? Number.NaN, 5)
        expect(out?.error).toBeCloseTo((y as number) - (prediction?.estimate ?? 0), 5)
        const spread = Math.hypot(prediction?.standardErrorOfMean ?? 0, Math.sqrt(whole.noiseVariance))
        expect(out?.standardDeviation).toBeCloseTo(spread, 5)
      }
    },
  )

  test('units of inputs and a constant in the response do not matter; the same seed gives the same fit', () => {
    const [x = [], z = [], y = []] = table.columns.map(({ values }) => values as number[])
    const moved = tableOf({ x: x.map((v) => 1000 * v - 5), z, y: y.map((v) => v + 1000) })
    const other = surface(moved)
    expect(other.lengths[0]?.length).toBeCloseTo(1000 * (fit.lengths[0]?.length ?? 0), 0)
    expect(other.report().logLikelihood).toBeCloseTo(fit.report().logLikelihood ?? 0, 6)
    expect(surface(table).report()).toEqual(fit.report())
  })

  test.each([1e6, 1e-3])('neither does the unit of the response, here times %d', (unit) => {
    const columns = table.columns.map((column) =>
      column.name === 'y' ? { name: 'y', values: column.values.map((v) => unit * (v as number)) } : column,
    )
    const other = surface({ ...table, columns })
    expect(other.lengths[0]?.length).toBeCloseTo(fit.lengths[0]?.length ?? 0, 5)
    expect((other.residualStandardDeviation ?? 0) / unit).toBeCloseTo(fit.residualStandardDeviation ?? 0, 6)
    const [own, theirs] = [other, fit].map((one) => one.predict([{ x: 0.3, z: 4 }])[0]?.estimate ?? 0)
    expect((own as number) / unit).toBeCloseTo(theirs as number, 6)
  })

  test('powers and products in the formula are one input', () => {
    const other = surface(table, { model: 'y ~ x*z + x^2 + z^2' })
    expect(other.lengths.map(({ input }) => input)).toEqual(['x', 'z'])
    expect(other.report()).toEqual(fit.report())
  })

  test('intervals of left-out runs cover about as they say', () => {
    const outside = fit.leftOut.filter(
      ({ error, standardDeviation }) => Math.abs(error) > 2 * standardDeviation,
    )
    expect(outside.length).toBeLessThan(7)
  })
})

describe('noise', () => {
  const [x = [], z = [], y = []] = bent(3, 20).columns.map(({ values }) => values as number[])
  const twice = tableOf({
    x: [...x, ...x],
    z: [...z, ...z],
    y: [...y, ...y.map((v, i) => v + (i % 2 ? 0.1 : -0.1))],
  })

  test('from replicates, where there are enough', () => {
    const fit = surface(twice)
    expect(fit.noiseFrom).toBe('replicates')
    expect(fit.noiseVariance).toBeCloseTo(0.005, 12)
    expect(surface(twice, { noise: 'estimated' }).noiseFrom).toBe('estimated')
    expect(surface(bent(3, 20)).noiseFrom).toBe('estimated')
  })

  test('stated', () => {
    const fit = surface(twice, { noise: 0.01 })
    expect(fit.predict([{ x: 0.5, z: 5 }])[0]?.varianceSource).toBe('stated')
    expect(fit.noiseVariance).toBeCloseTo(0.01, 12)
    expect(codes(twice, { noise: -1 })).toEqual(['notANumber'])
    expect(codes(bent(3, 20), { noise: 'replicates' })).toEqual(['noReplicates'])
    const [problem] = problemsOf(twice, { noise: 0 })
    expect(problem).toMatchObject({ code: 'repeatedRuns', row: 22 })
    expect(codes(bent(3, 20), { noise: 0 })).toEqual(['checkOnly', 'sameSession'])
  })
})

describe('what it says and refuses', () => {
  test('below 30 runs it is a check only', () => {
    expect(codes(bent(2, 29))).toContain('checkOnly')
    expect(codes(bent(2, 30))).not.toContain('checkOnly')
  })

  test('names as inputs, inputs that do not change, no inputs', () => {
    expect(codes(someRuns, { model: 'thickness ~ speed + lot' })).toEqual(['categoricalInput'])
    const flat = tableOf({ x: [1, 2, 3, 4], z: [5, 5, 5, 5], y: [1, 2, 2, 3] })
    expect(codes(flat)).toEqual(['constantFactor'])
    expect(codes(flat, { model: 'y ~ 1' })).toEqual(['formula'])
    expect(codes(tableOf({ x: [1, 2, 3], z: [1, 3, 2], y: [4, 4, 4] }))).toEqual(['exactFit'])
  })

  test('a prediction without a setting', () => {
    expect(
      surface(bent(2, 12))
        .report([{ x: 0.5 }])
        .problems.at(-1),
    ).toMatchObject({
      code: 'missingSetting',
      column: 'z',
    })
  })
})
