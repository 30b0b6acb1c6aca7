import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fit as fitSchema } from '../../../shared/contract/results/fit.ts'
import { closeTo } from '../../published/model/close-to.ts'
import { fittedTo, refusalOf, someRuns, tableOf } from './some-runs.ts'

const codes = (problems: { code: string }[]) => problems.map(({ code }) => code)

describe('weights and categorical terms agree with R', () => {
  // R 4.2.2: m <- lm(log(thickness) ~ log(speed) + bake + lot + bake:lot, weights = weight)
  const model = fittedTo(someRuns, 'log(thickness) ~ log(speed) + bake + lot + bake.lot', {
    weights: 'weight',
  })
  const fit = model.report()

  test('terms: summary(m)', () => {
    const expected = [
      ['constant', 12.01973829118493, 0.3205596121193108, 2.49551990467181e-9],
      ['log(speed)', -0.5143487768095909, 0.03756514599530539, 2.61167063433022e-6],
      ['bake', -0.0053312126169569, 0.00235588124523224, 5.80792050822177e-2],
      ['lot[B]', -0.501736974916867, 0.3868874574561906, 2.35789285575061e-1],
      ['lot[C]', -0.4632037933778897, 0.2662435597213764, 1.25450058058467e-1],
      ['bake.lot[B]', 0.00501194038529269, 0.00383496542023561, 2.32538154367954e-1],
      ['bake.lot[C]', 0.00488339269706302, 0.00270665128128867, 1.141771039451e-1],
    ] as const
    expect(fit.terms.map(({ term }) => term)).toEqual(expected.map(([term]) => term))
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, expected[i]?.[1] as number)
      closeTo(term.standardError, expected[i]?.[2] as number)
      closeTo(term.p, expected[i]?.[3] as number, 1e-11)
    })
    closeTo(fit.residualStandardDeviation, 0.0417298867293388)
    closeTo(fit.rSquared, 0.982071580094981)
    closeTo(fit.rSquaredAdjusted, 0.966704363033537)
    closeTo(fit.logLikelihood, 30.3542983162016)
  })

  test('sums of squares in formula order: anova(m)', () => {
    const expected = [
      ['log(speed)', 1, 0.656578017844977],
      ['bake', 1, 0.003075823509022],
      ['lot', 2, 0.001775067085244],
      ['bake.lot', 2, 0.006289853895673],
      ['residual', 7, 0.012189684125104],
    ] as const
    expected.forEach(([source, df, sum], i) => {
      expect(fit.analysisOfVariance[i]).toMatchObject({ source, df })
      closeTo(fit.analysisOfVariance[i]?.sumOfSquares, sum, 1e-11)
    })
    expect(fit.analysisOfVariance.at(-1)).toMatchObject({ source: 'total', df: 13 })
  })

  test('a categorical term is tested as a whole: anova of the models with and without it', () => {
    const additive = fittedTo(someRuns, 'log(thickness) ~ lot + log(speed) + bake', { weights: 'weight' })
    const [lot] = additive.report().marginalTests
    expect(lot).toMatchObject({ term: 'lot', df: 2 })
    closeTo(lot?.f, 0.00177506708524364 / 2 / (0.0184795380207766 / 9), 1e-11)
    const interaction = fit.marginalTests.at(-1)
    expect(interaction).toMatchObject({ term: 'bake.lot', df: 2 })
    closeTo(interaction?.f, fit.analysisOfVariance[3]?.f as number, 1e-11)
  })

  test('diagnostics: rstudent(m), cooks.distance(m), hatvalues(m)', () => {
    const run = fit.runs[5]
    closeTo(run?.studentized, -1.844382668092, 1e-11)
    closeTo(run?.cooksDistance, 2.049000687522414, 1e-11)
    closeTo(run?.leverage, 0.849918058912, 1e-11)
    closeTo(fit.runs[10]?.leverage, 0.94855219812, 1e-11)
    closeTo((run?.fitted ?? 0) + (run?.residual ?? 0), Math.log(1982), 1e-15)
  })

  test('predictions come back in nm: exp(predict(m, …, weights = 1))', () => {
    const [at] = model.predict([{ speed: 3000, bake: 105, lot: 'B' }])
    closeTo(at?.estimate, 1581.94814052785)
    closeTo(at?.prediction[0], 1416.654167212)
    closeTo(at?.prediction[1], 1766.52847056144)
    closeTo(at?.confidence[0], 1505.66917801425)
    closeTo(at?.confidence[1], 1662.09148454511)
    closeTo(at?.standardErrorOfMean, 33.0620505163321)
  })

  test('without a constant every level has a column of its own', () => {
    const own = fittedTo(someRuns, 'log(thickness) ~ 0 + lot + bake.lot + log(speed)', { weights: 'weight' })
    const expected = {
      'lot[A]': 12.01973829118491,
      'lot[B]': 11.51800131626803,
      'lot[C]': 11.5565344978268,
      'bake.lot[A]': -0.00533121261695698,
      'bake.lot[B]': -0.000319272231664134,
      'bake.lot[C]': -0.000447819919894007,
      'log(speed)': -0.514348776809587,
    }
    const { terms } = own.report()
    expect(terms.map(({ term }) => term)).toEqual(Object.keys(expected))
    terms.forEach(({ term, estimate }) => {
      closeTo(estimate, expected[term as keyof typeof expected], 1e-11)
    })
  })
})

describe('what cannot be estimated is named, and the rest is fitted', () => {
  test('a column that is a combination of others', () => {
    const table = tableOf({
      y: [1, 3, 2, 5, 4.5],
      a: [1, 2, 3, 4, 5],
      b: [2, 1, 4, 3, 6],
      c: [5, 4, 11, 10, 17],
    })
    const fit = fittedTo(table, 'y ~ a + b + c').report()
    expect(fit.terms.map(({ term }) => term)).toEqual(['constant', 'a', 'b'])
    expect(fit.notEstimable).toEqual([
      { term: 'c', because: 'in the runs used it is a combination of constant, a and b' },
    ])
    expect(fit.df).toBe(2)
  })

  test.each([
    ['the same value throughout', [7, 7, 7, 7], 'it has the same value in every run used'],
    ['zero throughout', [0, 0, 0, 0], 'it is 0 in every run used'],
    ['a multiple', [2, 4, 6, 8], 'in the runs used it is a multiple of a'],
  ])('a column with %s', (_, values, because) => {
    const fit = fittedTo(tableOf({ y: [1, 3, 2, 5], a: [1, 2, 3, 4], b: values }), 'y ~ a + b').report()
    expect(fit.notEstimable).toEqual([{ term: 'b', because }])
  })

  test('a column of names with one name only', () => {
    const fit = fittedTo(
      tableOf({ y: [1, 3, 2, 5], a: [1, 2, 3, 4], lot: ['A', 'A', 'A', 'A'] }),
      'y ~ a * lot',
    )
    expect(fit.report().notEstimable).toEqual([
      { term: 'lot', because: 'it has only one level in the runs used' },
      { term: 'a.lot', because: 'it has only one level in the runs used' },
    ])
  })

  test('lack of fit against replicates is a warning', () => {
    const table = tableOf({ y: [1, 1.1, 5, 5.1, 2, 2.1], x: [1, 1, 2, 2, 3, 3] })
    expect(codes(fittedTo(table, 'y ~ x').problems)).toContain('lackOfFit')
    expect(codes(fittedTo(table, 'y ~ x + x^2').problems)).not.toContain('lackOfFit')
  })

  test('two levels cannot carry a square', () => {
    const fit = fittedTo(tableOf({ y: [1, 2, 3, 5], x: [-1, -1, 1, 1] }), 'y ~ x + x^2').report()
    expect(fit.notEstimable).toEqual([{ term: 'x^2', because: 'it has the same value in every run used' }])
  })

  test('a prediction that would need it is refused, one that keeps the relation is not', () => {
    const table = tableOf({ y: [1, 3, 2, 5], a: [1, 2, 3, 4], b: [2, 4, 6, 8] })
    const model = fittedTo(table, 'y ~ a + b')
    expect(
      model.predict([
        { a: 2.5, b: 5 },
        { a: 2.5, b: 6 },
      ]),
    ).toHaveLength(1)
    expect(model.cannotPredict([{ a: 2.5, b: 6 }])).toMatchObject([{ code: 'notEstimable' }])
  })
})

describe('what a fit cannot do without', () => {
  test('fewer runs than terms are refused', () => {
    expect(codes(refusalOf(tableOf({ y: [1, 2], x: [1, 2] }), 'y ~ x + x^2'))).toEqual(['fewerRunsThanTerms'])
  })

  test('as many terms as runs give estimates without errors, and say so', () => {
    const model = fittedTo(tableOf({ y: [1, 2, 5], x: [1, 2, 3] }), 'y ~ x + x^2')
    const fit = model.report([{ x: 2 }])
    expect(fit.terms.map(({ estimate }) => Number(estimate.toFixed(10)))).toEqual([2, -2, 1])
    expect(fit.terms[0]).toMatchObject({ standardError: null, t: null, p: null, lower: null, df: null })
    expect(fit).toMatchObject({ df: 0, residualStandardDeviation: null, rSquaredAdjusted: null, aicc: null })
    expect(fit.runs[0]).toMatchObject({ studentized: null, cooksDistance: null })
    expect(fit.predictions).toEqual([])
    expect(codes(fit.problems)).toEqual(['noDegreesOfFreedom', 'sameSession', 'noDegreesOfFreedom'])
  })

  test('rows with missing cells are left out and named', () => {
    const table = tableOf({ y: [1, null, 3, 4, 6], x: [1, 2, null, 4, 5], z: [null, null, null, null, null] })
    const model = fittedTo(table, 'y ~ x')
    expect(model.rows).toEqual([0, 3, 4])
    expect(model.report().runs.map(({ row }) => row)).toEqual([2, 5, 6])
    expect(model.problems.slice(0, 2)).toMatchObject([
      { code: 'missingCell', row: 3, column: 'y' },
      { code: 'missingCell', row: 4, column: 'x' },
    ])
  })

  test.each([
    ['an unknown column', { y: [1, 2, 3], x: [1, 2, 4] }, 'y ~ z', {}, 'unknownColumn'],
    ['no response', { y: [1, 2, 3], x: [1, 2, 4] }, 'x', {}, 'formula'],
    ['a text as response', { y: [1, 'two', 3], x: [1, 2, 4] }, 'y ~ x', {}, 'notANumber'],
    [
      'a text as weight',
      { y: [1, 2, 3], x: [1, 2, 4], w: [1, 'a', 1] },
      'y ~ x',
      { weights: 'w' },
      'notANumber',
    ],
    [
      'a negative weight',
      { y: [1, 2, 3], x: [1, 2, 4], w: [1, -1, 1] },
      'y ~ x',
      { weights: 'w' },
      'negativeWeight',
    ],
    ['the log of zero', { y: [1, 2, 3], x: [1, 0, 4] }, 'y ~ log(x)', {}, 'outsideDomain'],
    ['the log of a zero response', { y: [1, 0, 3], x: [1, 2, 4] }, 'log(y) ~ x', {}, 'outsideDomain'],
    ['a power beyond all numbers', { y: [1, 2, 3], x: [1, 2, 1e9] }, 'y ~ x^20', {}, 'tooLarge'],
    ['a function of names', { y: [1, 2, 3], x: ['a', 'b', 'b'] }, 'y ~ log(x)', {}, 'formula'],
  ])('%s is refused', (_, columns, model, options, code) => {
    expect(codes(refusalOf(tableOf(columns), model, options))).toEqual([code])
  })

  test('the place of a bad cell is named', () => {
    const [problem] = refusalOf(tableOf({ y: [1, 2, 3], x: [1, 0, 4] }), 'y ~ log(x)')
    expect(problem).toMatchObject({ row: 3, column: 'x' })
    expect(problem?.message).toContain('log(x) has no value at 0')
  })

  test('a weight of 0 leaves its row out', () => {
    const table = tableOf({ y: [1, 9, 3, 4.5], x: [1, 2, 3, 4], w: [1, 0, 1, 1] })
    expect(fittedTo(table, 'y ~ x', { weights: 'w' }).rows).toEqual([0, 2, 3])
  })

  test('a column of numbers with one text is fitted as names, with a warning', () => {
    const table = tableOf({ y: [1, 2, 3, 4, 5], x: [1, 1, '2?', 2, 2] })
    const { problems } = fittedTo(table, 'y ~ x')
    expect(problems[0]).toMatchObject({ code: 'mixedColumn', row: 4, column: 'x' })
  })
})

describe('predictions', () => {
  const runs = { speed: [1, 2, 3, 4, 5, 6], y: [1.1, 1.9, 3.2, 3.9, 5.3, 5.8] }

  test.each([
    ['log(y)', 'exp'],
    ['log10(y)', '10^'],
    ['sqrt(y)', 'square'],
    ['inverse(y)', 'inverse'],
    ['exp(y)', 'log'],
  ])('under %s the interval lies around the estimate, in the measured unit', (response) => {
    const y = response === 'exp(y)' ? runs.y.map(Math.log) : runs.y
    const model = fittedTo(tableOf({ ...runs, y }), `${response} ~ speed + speed^2`)
    const [at] = model.predict([{ speed: 3.5 }])
    expect(at?.estimate).toBeGreaterThan(y[2] as number)
    expect(at?.estimate).toBeLessThan(y[3] as number)
    expect(at?.confidence[0]).toBeLessThan(at?.estimate as number)
    expect(at?.confidence[1]).toBeGreaterThan(at?.estimate as number)
    expect(at?.prediction[0]).toBeLessThan(at?.confidence[0] as number)
    expect(at?.prediction[1]).toBeGreaterThan(at?.confidence[1] as number)
    const half = ((at?.confidence[1] as number) - (at?.confidence[0] as number)) / 2
    closeTo(at?.standardErrorOfMean, half / 3.182, 0.25)
  })

  test('an interval without bounds is no prediction', () => {
    const model = fittedTo(tableOf({ x: [1, 2, 3, 4], y: [1, -2, 1.5, -1] }), 'inverse(y) ~ x')
    expect(model.predict([{ x: 2 }])).toEqual([])
    expect(codes(model.cannotPredict([{ x: 2 }]))).toEqual(['unboundedPrediction'])
  })

  test.each([
    [{}, 'missingSetting'],
    [{ speed: 'fast', lot: 'A' }, 'missingSetting'],
    [{ speed: 3000, lot: 'Z' }, 'unknownLevel'],
    [{ speed: -1, lot: 'A' }, 'outsideDomain'],
  ])('settings %o cannot be predicted', (at, code) => {
    const model = fittedTo(someRuns, 'log(thickness) ~ log(speed) + lot')
    expect(codes(model.cannotPredict([at as Record<string, number | string>]))).toEqual([code])
  })

  test('several sessions are named as not in the intervals', () => {
    const table = tableOf({ ...runs, session: ['d1', 'd1', 'd2', 'd2', 'd3', 'd3'] })
    expect(fittedTo(table, 'y ~ speed').problems.at(-1)?.message).toContain('3 sessions')
    expect(fittedTo(tableOf(runs), 'y ~ speed').problems.at(-1)?.code).toBe('sameSession')
  })
})

test('a report has the shape of the contract', () => {
  const model = fittedTo(someRuns, 'log(thickness) ~ log(speed) * lot + bake')
  const report = model.report([{ speed: 3000, bake: 100, lot: 'A' }])
  expect(fitSchema.strict().parse(JSON.parse(JSON.stringify(report)))).toEqual(report)
})

describe('for any data', () => {
  const runs = fc.array(
    fc.record({
      x: fc.double({ min: -100, max: 100, noNaN: true }),
      z: fc.double({ min: 0.1, max: 10, noNaN: true }),
      y: fc.double({ min: -1000, max: 1000, noNaN: true }),
      lot: fc.constantFrom('A', 'B', 'C'),
    }),
    { minLength: 12, maxLength: 25 },
  )
  const asTable = (rows: { x: number; z: number; y: number; lot: string }[]) =>
    tableOf({
      x: rows.map(({ x }) => x),
      z: rows.map(({ z }) => z),
      y: rows.map(({ y }) => y),
      lot: rows.map(({ lot }) => lot),
    })
  const model = 'y ~ x * z + lot'

  test('residuals sum to nothing and leverages to the number of terms', () => {
    fc.assert(
      fc.property(runs, (rows) => {
        const fit = fittedTo(asTable(rows), model).report()
        const size = Math.max(1, ...rows.map(({ y }) => Math.abs(y)))
        const sum = fit.runs.reduce((total, run) => total + run.residual, 0)
        expect(Math.abs(sum)).toBeLessThan(1e-9 * size * rows.length)
        const leverage = fit.runs.reduce((total, run) => total + run.leverage, 0)
        expect(leverage).toBeCloseTo(fit.terms.length, 8)
        expect(fit.terms.length + fit.notEstimable.length).toBe(
          4 + new Set(rows.map(({ lot }) => lot)).size - 1,
        )
      }),
    )
  })

  test('sums of squares add up to the total', () => {
    fc.assert(
      fc.property(runs, (rows) => {
        const table = fittedTo(asTable(rows), model).report().analysisOfVariance
        const total = table.at(-1)
        const sum = table.slice(0, -1).reduce((all, row) => all + row.sumOfSquares, 0)
        const mean = rows.reduce((all, { y }) => all + y, 0) / rows.length
        const about = rows.reduce((all, { y }) => all + (y - mean) ** 2, 0)
        expect(sum).toBeCloseTo(total?.sumOfSquares as number, 5)
        expect(Math.abs(about - sum)).toBeLessThanOrEqual(1e-9 * Math.max(1, about))
        expect(table.slice(0, -1).reduce((all, row) => all + row.df, 0)).toBe(total?.df)
      }),
    )
  })

  test('a run with a weight of 2 counts as two equal runs', () => {
    fc.assert(
      fc.property(runs, (rows) => {
        const doubled = asTable([...rows, rows[0] as (typeof rows)[number]])
        const weighted = asTable(rows)
        weighted.columns.push({ name: 'w', values: rows.map((_, i) => (i === 0 ? 2 : 1)) })
        const [two, one] = [
          fittedTo(doubled, 'y ~ x + z').report(),
          fittedTo(weighted, 'y ~ x + z', { weights: 'w' }).report(),
        ]
        one.terms.forEach((term, i) => {
          const size = Math.abs(term.estimate) + 1e-6
          expect(Math.abs(term.estimate - (two.terms[i]?.estimate as number))).toBeLessThan(1e-8 * size)
        })
      }),
    )
  })

  test('a prediction at a run’s settings is its fitted value', () => {
    fc.assert(
      fc.property(runs, (rows) => {
        const fitted = fittedTo(asTable(rows), model)
        const { runs: report } = fitted.report()
        const [first] = fitted.predict(rows.slice(0, 1))
        const size = Math.max(1, ...rows.map(({ y }) => Math.abs(y)))
        expect(Math.abs((first?.estimate as number) - (report[0]?.fitted as number))).toBeLessThan(
          1e-8 * size,
        )
      }),
    )
  })
})
