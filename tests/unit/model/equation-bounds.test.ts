import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type EquationOptions, fitEquation } from '../../../shared/model/equation.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { tableOf } from './some-runs.ts'

const x = [1, 2, 3, 4, 5, 6, 7, 8]
const curve = tableOf({ x, y: x.map((value, i) => 3 * value ** 0.7 + 0.05 * (-1) ** i) })

function fitted(options: Partial<EquationOptions>) {
  const answer = fitEquation({ table: curve, equation: 'y = a*x^b', start: { a: 1, b: 0.5 }, ...options })
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value.report()
}

describe('bounds', () => {
  test('that are wide enough change nothing', () => {
    const [free, held] = [fitted({}), fitted({ bounds: { a: [0, 10], b: [null, 5] } })]
    free.terms.forEach((term, j) => {
      closeTo(held.terms[j]?.estimate, term.estimate, 1e-10)
      closeTo(held.terms[j]?.standardError, term.standardError as number, 1e-9)
    })
    expect(held.problems.map(({ code }) => code)).toEqual(free.problems.map(({ code }) => code))
  })

  test.each([
    [[0, 0.6], 0.6],
    [[0.8, 2], 0.8],
  ] as const)('b within %j ends there and is named; the rest is the fit with it known', (b, end) => {
    const start = { a: 1, b: b[0] + 0.1 }
    const report = fitted({ start, bounds: { b } })
    const known = fitted({ equation: `y = a*x^${end}`, start: { a: 1 } })
    expect(report.terms[1]).toEqual({
      term: 'b',
      estimate: end,
      standardError: null,
      df: null,
      t: null,
      p: null,
      lower: null,
      upper: null,
    })
    closeTo(report.terms[0]?.estimate, known.terms[0]?.estimate as number, 1e-10)
    closeTo(report.terms[0]?.standardError, known.terms[0]?.standardError as number, 1e-9)
    expect(report.df).toBe(known.df)
    expect(report.problems.filter(({ column }) => column === 'b').map(({ code }) => code)).toEqual([
      'atBound',
    ])
  })

  test.each([
    ['a start outside', { bounds: { b: [0.6, 1] } }, 'startOutsideBounds'],
    ['ends the wrong way round', { bounds: { b: [1, 0] } }, 'badBound'],
    ['ends that leave nothing', { bounds: { b: [0.5, 0.5] } }, 'badBound'],
    ['an end that is no number', { bounds: { b: [Number.NaN, 1] } }, 'badBound'],
    ['a name that is no parameter', { bounds: { c: [0, 1] } }, 'unknownBound'],
    ['a start that is no number', { start: { a: Number.NaN, b: 1 } }, 'badStart'],
    ['an infinite start', { start: { a: Number.POSITIVE_INFINITY, b: 1 } }, 'badStart'],
  ] as [string, Partial<EquationOptions>, string][])('%s is refused', (_, options, code) => {
    const answer = fitEquation({ table: curve, equation: 'y = a*x^b', start: { a: 1, b: 0.5 }, ...options })
    expect(!answer.ok && answer.problems.map((problem) => problem.code)).toEqual([code])
  })

  test('no lower sum of squares lies within them', () => {
    const number = fc.double({ min: -1, max: 1, noNaN: true })
    fc.assert(
      fc.property(fc.array(number, { minLength: 8, maxLength: 8 }), number, number, (noise, low, width) => {
        const table = tableOf({ x, y: x.map((value, i) => 1 + 0.5 * value + (noise[i] as number)) })
        const bounds = { b: [0.5 + low, 0.5 + low + 0.1 + Math.abs(width)] as const }
        const answer = fitEquation({
          table,
          equation: 'y = a + b*x',
          start: { a: 0, b: bounds.b[0] },
          bounds,
        })
        const report = answer.ok ? answer.value.report() : undefined
        const free = fitEquation({ table, equation: 'y = a + b*x', start: { a: 0, b: 0 } })
        const best = free.ok ? (free.value.parameters.b as number) : Number.NaN
        const expected = Math.min(Math.max(best, bounds.b[0]), bounds.b[1])
        expect(Math.abs((report?.terms[1]?.estimate ?? Number.NaN) - expected)).toBeLessThan(1e-8)
      }),
      { numRuns: 40 },
    )
  })
})

describe('profile intervals', () => {
  test('of a linear equation are those of the tangent plane', () => {
    const number = fc.double({ min: -5, max: 5, noNaN: true })
    fc.assert(
      fc.property(fc.array(number, { minLength: 8, maxLength: 8 }), (noise) => {
        const table = tableOf({ x, y: noise.map((value, i) => value + i) })
        const answer = fitEquation({
          table,
          equation: 'y = a + b*x + c*log(x)',
          start: { a: 1, b: 1, c: 1 },
        })
        const report = answer.ok ? answer.value.report() : undefined
        if (report?.problems.some(({ code }) => code === 'exactFit' || code === 'nearlyExact')) return
        for (const { profile, lower, upper, estimate, standardError } of report?.terms ?? []) {
          // Where there is hardly any scatter, the ends differ from the estimate by little more than its rounding.
          const near = 1e-6 * (standardError as number) + 1e-14 * Math.max(1, Math.abs(estimate))
          expect(Math.abs((profile?.[0] ?? Number.NaN) - (lower as number))).toBeLessThan(near)
          expect(Math.abs((profile?.[1] ?? Number.NaN) - (upper as number))).toBeLessThan(near)
        }
        expect(report?.terms).toHaveLength(3)
      }),
      { numRuns: 30 },
    )
  })

  test('that do not close say so, and end at a bound where there is one', () => {
    // Three runs past the rise say little of how steep it is.
    const table = tableOf({ x: [2, 4, 6, 8, 10], y: [9, 10.4, 9.8, 10.3, 9.9] })
    const options = { table, equation: 'y = a*(1 - exp(-b*x))', start: { a: 10, b: 1 } }
    const open = fitted(options)
    expect(open.terms[1]?.profile?.[0]).toBeGreaterThan(0)
    expect(open.terms[1]?.profile?.[1]).toBeNull()
    expect(open.problems.find(({ code }) => code === 'openProfile')).toMatchObject({ column: 'b' })
    const bounded = fitted({ ...options, bounds: { b: [0, 20] } })
    closeTo(bounded.terms[1]?.profile?.[1], 20)
    expect(bounded.problems.some(({ code }) => code === 'openProfile')).toBe(false)
  })
})

describe('a function of the measured column on the left', () => {
  const table = tableOf({ x, y: x.map((value, i) => Math.exp(1 + 0.2 * value + 0.02 * (-1) ** i)) })

  test('is fitted on its scale and predicted in the own unit', () => {
    const answer = fitEquation({ table, equation: 'log(y) = a + b*x', start: { a: 0, b: 0.1 } })
    const fit = answer.ok ? answer.value : undefined
    expect(fit?.responseText).toBe('log(y)')
    const [one] = fit?.predict([{ x: 3 }]) ?? []
    closeTo(one?.estimate, Math.exp((fit?.parameters.a as number) + 3 * (fit?.parameters.b as number)), 1e-12)
    expect(one?.confidence[0]).toBeLessThan(one?.estimate ?? 0)
  })

  test('has no value at 0', () => {
    const zero = tableOf({ x: [1, 2, 3], y: [1, 0, 2] })
    const answer = fitEquation({ table: zero, equation: 'log(y) = a + b*x', start: { a: 0, b: 0.1 } })
    expect(!answer.ok && answer.problems).toMatchObject([{ code: 'outsideDomain', row: 3, column: 'y' }])
  })
})
