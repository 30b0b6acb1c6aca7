import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fit as fitSchema } from '../../../shared/contract/results/fit.ts'
import { type Arithmetic, namesOf, parseEquation } from '../../../shared/model/arithmetic.ts'
import { type EquationOptions, fitEquation } from '../../../shared/model/equation.ts'
import { tapeOver } from '../../../shared/model/tape.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { fittedTo, tableOf } from './some-runs.ts'

function rightOf(text: string): Arithmetic {
  const answer = parseEquation(`y = ${text}`)
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value.right
}

/** Value and slopes by a and b with x = 2, and a = 3, b = 0.5 unless given. */
function slopedAt(text: string, a = 3, b = 0.5, x = 2) {
  const { values, slopes } = tapeOver(rightOf(text), new Map([['x', [x]]]), ['a', 'b'], 1)([a, b])
  return { value: values[0] as number, slopes: slopes.map(([slope]) => slope as number) }
}

describe('arithmetic', () => {
  test.each([
    ['1 + 2*3', 7],
    ['(1 + 2)*3', 9],
    ['2^3^2', 512],
    ['-x^2', -4],
    ['2^-1', 0.5],
    ['x^(-b)', 2 ** -0.5],
    ['8/4/2', 1],
    ['8 - 4 - 2', 2],
    ['1e3 + .5 + 2.', 1002.5],
    ['- - a', 3],
    ['a \u2212 1', 2],
    ['log(exp(a))', 3],
    ['log10(100) + sqrt(4) + inverse(4)', 4.25],
    ['"x"*2', 4],
    ['sin(pi/2) + cos(pi) + 4*arctan(1)/pi', 1],
  ])('%s = %f', (text, value) => {
    expect(slopedAt(text).value).toBeCloseTo(value, 12)
  })

  test('names are found once each', () => {
    expect(namesOf(rightOf('a*x^(-b) + a*"bake temp" + exp(-1)'))).toEqual(['a', 'x', 'b', 'bake temp'])
  })

  test.each([
    ['y = a*', 7, 'ends'],
    ['y = 2a', 6, '‘a’'],
    ['y = a(x)', 5, 'no function'],
    ['y = (a + x', 5, 'not closed'],
    ['y ~ a', 3, '‘=’'],
    ['= a', 1, 'measured column'],
    ['y = a = b', 7, '‘=’'],
    ['y = a $ b', 7, '‘$’'],
    [`y = ${'('.repeat(70)}a`, 30, 'too deep'],
    [`y = ${'-'.repeat(70)}a`, 54, 'too deep'],
  ])('%s is refused at its character', (text, character, part) => {
    const answer = parseEquation(text)
    const message = answer.ok ? '' : answer.problems[0]?.message
    expect(message).toContain(`at character ${character}:`)
    expect(message).toContain(part)
  })

  test('any text is read or refused, never thrown at', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom(...'ax1 .e+-*/^()="log,'), maxLength: 40 }), (text) => {
        expect(typeof parseEquation(`y = ${text}`).ok).toBe('boolean')
      }),
      { numRuns: 1000 },
    )
  })

  test('nor any bytes, nor any depth or length', () => {
    const parts = [
      '(',
      'a',
      '+',
      '^',
      '-',
      'exp(',
      ')',
      '1e9',
      '"',
      'log(y) = ',
      '=',
      'π',
      '\u0000',
      '𝑥',
      'constructor',
    ]
    const written = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 200 }),
      fc.array(fc.constantFrom(...parts), { maxLength: 600 }).map((list) => list.join('')),
      fc
        .tuple(fc.constantFrom(...parts), fc.integer({ min: 1, max: 5000 }))
        .map(([part, n]) => part.repeat(n)),
    )
    fc.assert(
      fc.property(written, fc.boolean(), (text, whole) => {
        const answer = parseEquation(whole ? text : `y = ${text}`)
        if (!answer.ok) expect(answer.problems[0]).toMatchObject({ code: 'equation', column: 'equation' })
      }),
      { numRuns: 1000 },
    )
    const long = parseEquation(`y = ${'a+'.repeat(996)}a`)
    expect(long.ok && namesOf(long.value.right)).toEqual(['a'])
    expect(parseEquation(`y = ${'a+'.repeat(1000)}a`).ok).toBe(false)
  })

  test.each([
    'constructor',
    '__proto__',
    'toString',
    'hasOwnProperty',
    'valueOf',
    'globalThis',
    'process',
    'Math',
  ])('%s is a name like any other', (name) => {
    expect(namesOf(rightOf(`a*${name}`))).toEqual(['a', name])
    expect(parseEquation(`y = ${name}(a)`).ok).toBe(false)
    const unknown = fitEquation({ table: runs, equation: `y = a*${name}`, start: { a: 1 } })
    expect(!unknown.ok && unknown.problems).toMatchObject([{ code: 'unknownName', column: name }])
    const columns = [
      { name: 'y', values: [2, 4.1, 5.9, 8] },
      { name, values: [1, 2, 3, 4] },
    ]
    const column = fitEquation({ table: { columns, rows: 4 }, equation: `y = a*${name}`, start: { a: 1 } })
    expect(column.ok && column.value.parameters.a).toBeCloseTo(2, 1)
    const start = Object.fromEntries([
      ['a', 1],
      [name, 0.5],
    ])
    const parameter = fitEquation({ table: runs, equation: `y = a + ${name}*x`, start })
    expect(parameter.ok && parameter.value.report().terms.map(({ term }) => term)).toEqual(['a', name])
    expect(parameter.ok && Object.keys(parameter.value.parameters)).toEqual(['a', name])
  })

  test.each([
    'a.constructor',
    'a.constructor("x")()',
    'a["constructor"]',
    'exp.call(a)',
    'exp.constructor(a)',
    'eval(a)',
    'require("fs")',
    'globalThis.process',
    'a = 1',
    'a += 1',
    '`a`',
    '"a"(x)',
    'a, x',
    'a; x',
    'a ? x : 1',
    '() => a',
    'new a',
    '{ a }',
    'a!',
    '$a',
    '\\u0061(x)',
  ])('%s is no arithmetic', (text) => {
    expect(parseEquation(`y = ${text}`)).toMatchObject({ ok: false, problems: [{ code: 'equation' }] })
  })

  test('slopes are those of a difference quotient', () => {
    const part = fc.letrec<{ atom: string; sum: string }>((tie) => ({
      atom: fc.constantFrom(
        'a',
        'b',
        'x',
        '1.5',
        'exp(-b)',
        'log(a)',
        'sqrt(a + b)',
        'inverse(a)',
        'log10(b + 2)',
        'sin(a)',
        'cos(a*x)',
        'arctan(a/b)',
        'pi',
      ),
      sum: fc.oneof(
        { depthSize: 'small' },
        tie('atom'),
        fc
          .tuple(tie('sum'), fc.constantFrom('+', '-', '*', '/', '^'), tie('atom'))
          .map(([left, sign, right]) => `(${left})${sign}${right}`),
      ),
    }))
    fc.assert(
      fc.property(part.sum, fc.double({ min: 0.5, max: 3, noNaN: true }), (text, a) => {
        const { value, slopes } = slopedAt(text, a, 0.7)
        const h = 1e-5
        const quotient = (slopedAt(text, a + h, 0.7).value - slopedAt(text, a - h, 0.7).value) / (2 * h)
        const slope = slopes?.[0] ?? 0
        if (!Number.isFinite(value) || Math.abs(value) > 1e4 || Math.abs(slope) > 1e4) return
        expect(Math.abs(slope - quotient)).toBeLessThan(1e-3 * (1 + Math.abs(slope) + Math.abs(value)))
      }),
    )
  })

  test('zero to a positive power has no slope by the power', () => {
    expect(slopedAt('x^a', 2, 0.5, 0)).toEqual({ value: 0, slopes: [0, 0] })
  })

  test('a column may be negative under a whole power, and pi in quotes is a column', () => {
    expect(slopedAt('a*x^2', 3, 0.5, -2)).toEqual({ value: 12, slopes: [4, 0] })
    expect(namesOf(rightOf('pi*a + "pi"'))).toEqual(['a', 'pi'])
  })
})

const runs = tableOf({
  y: [5.1, 6.9, 9.2, 10.8, 13.3, 14.7],
  x: [1, 2, 3, 4, 5, 6],
  w: [1, 2, 1, 0.5, 1, 3],
  session: ['a', 'a', 'b', 'b', 'b', 'b'],
})

describe('a straight equation is the straight fit', () => {
  const line = fittedTo(runs, 'y ~ x', { weights: 'w' })
  const answer = fitEquation({ table: runs, equation: 'y = a + b*x', start: { a: 0, b: 1 }, weights: 'w' })
  const equation = answer.ok ? answer.value : undefined

  test('in estimates, errors, runs and likelihood', () => {
    const [one, other] = [equation?.report(), line.report()]
    other.terms.forEach((term, i) => {
      closeTo(one?.terms[i]?.estimate, term.estimate, 1e-11)
      closeTo(one?.terms[i]?.standardError, term.standardError as number, 1e-11)
      closeTo(one?.terms[i]?.p, term.p as number, 1e-9)
    })
    other.runs.forEach((run, i) => {
      closeTo(one?.runs[i]?.leverage, run.leverage, 1e-10)
      closeTo(one?.runs[i]?.studentized, run.studentized as number, 1e-8)
      closeTo(one?.runs[i]?.fitted, run.fitted, 1e-10)
    })
    closeTo(one?.logLikelihood, other.logLikelihood as number, 1e-10)
    closeTo(one?.aicc, other.aicc as number, 1e-10)
    closeTo(
      one?.analysisOfVariance.at(-1)?.sumOfSquares,
      other.analysisOfVariance.at(-1)?.sumOfSquares as number,
      1e-10,
    )
    expect(one?.problems.map(({ code }) => code)).toEqual(['sameSession'])
  })

  test('in predictions', () => {
    const [[one], [other]] = [equation?.predict([{ x: 2.5 }]) ?? [], line.predict([{ x: 2.5 }])]
    closeTo(one?.estimate, other?.estimate as number, 1e-11)
    closeTo(one?.standardErrorOfMean, other?.standardErrorOfMean as number, 1e-10)
    closeTo(one?.confidence[0], other?.confidence[0] as number, 1e-10)
    closeTo(one?.prediction[1], other?.prediction[1] as number, 1e-10)
  })

  test('and has the shape of the contract', () => {
    const report = equation?.report([{ x: 2 }])
    expect(fitSchema.strict().parse(JSON.parse(JSON.stringify(report)))).toEqual(report)
    expect(equation?.cannotPredict([{}])).toMatchObject([{ code: 'missingSetting', column: 'x' }])
  })
})

describe('what an equation cannot be fitted to', () => {
  const problemsOf = (options: Partial<EquationOptions>) => {
    const answer = fitEquation({ table: runs, equation: 'y = a*x^b', start: { a: 1, b: 1 }, ...options })
    return answer.ok ? [] : answer.problems.map(({ code }) => code)
  }

  test.each([
    ['a name without a meaning', { start: { a: 1 } }, ['unknownName']],
    ['a start value without a place', { start: { a: 1, b: 1, c: 1 } }, ['unusedStart']],
    ['a parameter named like a column', { start: { a: 1, b: 1, x: 1 } }, ['twiceNamed']],
    ['the response on both sides', { equation: 'y = a*y^b' }, ['twiceNamed']],
    ['an unknown response', { equation: 'z = a*x^b' }, ['unknownColumn']],
    ['a column of texts', { equation: 'y = a*session^b' }, ['notANumber']],
    ['more parameters than runs', { table: tableOf({ y: [1], x: [2] }) }, ['fewerRunsThanTerms']],
    ['no value at the start', { equation: 'y = log(a)*x^b', start: { a: -1, b: 1 } }, ['outsideDomain']],
    [
      'an infinite value',
      { table: tableOf({ y: [1, 2, 3], x: [1, 2, Number.POSITIVE_INFINITY] }) },
      ['outsideDomain'],
    ],
    ['two parameters that do the same', { equation: 'y = a*b*x' }, ['didNotConverge']],
    ['what cannot be read', { equation: 'y = a**x' }, ['equation']],
  ])('%s', (_, options, codes) => {
    expect(problemsOf(options as Partial<EquationOptions>)).toEqual(codes)
  })

  test('a search that ends nowhere says where and why', () => {
    const answer = fitEquation({ table: runs, equation: 'y = a*b*x', start: { a: 1, b: 1 } })
    expect(!answer.ok && answer.problems[0]?.message).toMatch(/leave at least one parameter open.*a = /)
  })

  test('as many parameters as runs leave no error', () => {
    const table = tableOf({ y: [2, 8], x: [1, 2] })
    const answer = fitEquation({ table, equation: 'y = a*x^b', start: { a: 1, b: 1 } })
    const report = answer.ok ? answer.value.report([{ x: 3 }]) : undefined
    expect(report?.terms.map(({ estimate }) => Number(estimate.toFixed(6)))).toEqual([2, 2])
    expect(report).toMatchObject({ df: 0, residualStandardDeviation: null, predictions: [] })
    expect(report?.problems[0]?.code).toBe('noDegreesOfFreedom')
  })
})
