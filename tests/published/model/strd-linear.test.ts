import { describe, expect, test } from 'vitest'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { fitOf } from './fitted.ts'

// Certified values of the NIST Statistical Reference Datasets, linear regression and analysis of variance
// (National Institute of Standards and Technology, public domain). Data in tests/data/strd_*.csv. From memory: the sums
// of squares of Pontius and part of those of Wampler4 and 5.

const powers = (degree: number) =>
  Array.from({ length: degree }, (_, i) => (i === 0 ? 'x' : `x^${i + 1}`)).join(' + ')

type Certified = {
  file: string
  model: string
  estimates: number[]
  standardErrors: number[]
  residualStandardDeviation: number
  rSquared: number
  regression: { df: number; sumOfSquares: number }
  residual: { df: number; sumOfSquares: number }
  f: number
}

const sets: Record<string, Certified> = {
  Norris: {
    file: 'strd_norris.csv',
    model: 'y ~ x',
    estimates: [-0.262323073774029, 1.00211681802045],
    standardErrors: [0.232818234301152, 0.429796848199937e-3],
    residualStandardDeviation: 0.884796396144373,
    rSquared: 0.999993745883712,
    regression: { df: 1, sumOfSquares: 4255954.13232369 },
    residual: { df: 34, sumOfSquares: 26.6173985294224 },
    f: 5436385.54079785,
  },
  NoInt1: {
    file: 'strd_noint1.csv',
    model: 'y ~ x - 1',
    estimates: [2.07438016528926],
    standardErrors: [0.165289256198347e-1],
    residualStandardDeviation: 3.56753034006338,
    rSquared: 0.999365492298663,
    regression: { df: 1, sumOfSquares: 200457.727272727 },
    residual: { df: 10, sumOfSquares: 127.272727272727 },
    f: 15750.25,
  },
  Longley: {
    file: 'strd_longley.csv',
    model: 'y ~ x1 + x2 + x3 + x4 + x5 + x6',
    estimates: [
      -3482258.63459582, 15.0618722713733, -0.35819179292591e-1, -2.02022980381683, -1.03322686717359,
      -0.511041056535807e-1, 1829.15146461355,
    ],
    standardErrors: [
      890420.383607373, 84.9149257747669, 0.334910077722432e-1, 0.488399681651699, 0.214274163161675,
      0.22607320006937, 455.478499142212,
    ],
    residualStandardDeviation: 304.854073561965,
    rSquared: 0.995479004577296,
    regression: { df: 6, sumOfSquares: 184172401.944494 },
    residual: { df: 9, sumOfSquares: 836424.055505915 },
    f: 330.285339234588,
  },
  Filip: {
    file: 'strd_filip.csv',
    model: `y ~ ${powers(10)}`,
    estimates: [
      -1467.4896142298, -2772.17959193342, -2316.37108160893, -1127.97394098372, -354.478233703349,
      -75.1242017393757, -10.8753180355343, -1.06221498588947, -0.670191154593408e-1, -0.246781078275479e-2,
      -0.402962525080404e-4,
    ],
    standardErrors: [
      298.084530995537, 559.77986547495, 466.477572127796, 227.204274477751, 71.6478660875927, 15.28971787474,
      2.23691159816033, 0.221624321934227, 0.142363763154724e-1, 0.535617408889821e-3, 0.896632837373868e-5,
    ],
    residualStandardDeviation: 0.334801051324544e-2,
    rSquared: 0.99672741618562,
    regression: { df: 10, sumOfSquares: 0.242391619837339 },
    residual: { df: 71, sumOfSquares: 0.795851382172941e-3 },
    f: 2162.43954511489,
  },
  Wampler3: {
    file: 'strd_wampler3.csv',
    model: `y ~ ${powers(5)}`,
    estimates: [1, 1, 1, 1, 1, 1],
    standardErrors: [
      2152.3262467817, 2363.55173469681, 779.343524331583, 101.47550755035, 5.64566512170752,
      0.112324854679312,
    ],
    residualStandardDeviation: 2360.14502379268,
    rSquared: 0.99999555902582,
    regression: { df: 5, sumOfSquares: 18814317208116.7 },
    residual: { df: 15, sumOfSquares: 83554268 },
    f: 675524.458240122,
  },
  Wampler4: {
    file: 'strd_wampler4.csv',
    model: `y ~ ${powers(5)}`,
    estimates: [1, 1, 1, 1, 1, 1],
    standardErrors: [
      215232.62467817, 236355.173469681, 77934.3524331583, 10147.550755035, 564.566512170752,
      11.2324854679312,
    ],
    residualStandardDeviation: 236014.502379268,
    rSquared: 0.957478440825662,
    regression: { df: 5, sumOfSquares: 18814317208116.7 },
    residual: { df: 15, sumOfSquares: 835542680000 },
    f: 67.5524458240122,
  },
  Wampler5: {
    file: 'strd_wampler5.csv',
    model: `y ~ ${powers(5)}`,
    estimates: [1, 1, 1, 1, 1, 1],
    standardErrors: [
      21523262.467817, 23635517.3469681, 7793435.24331583, 1014755.0755035, 56456.6512170752,
      1123.24854679312,
    ],
    residualStandardDeviation: 23601450.2379268,
    rSquared: 0.22466892157494e-2,
    regression: { df: 5, sumOfSquares: 18814317208116.7 },
    residual: { df: 15, sumOfSquares: 8355426800000000 },
    f: 6.75524458240122e-3,
  },
  NoInt2: {
    file: 'strd_noint2.csv',
    model: 'y ~ x - 1',
    estimates: [0.727272727272727],
    standardErrors: [0.420827318078432e-1],
    residualStandardDeviation: 0.369274472937998,
    rSquared: 0.993348115299335,
    regression: { df: 1, sumOfSquares: 40.7272727272727 },
    residual: { df: 2, sumOfSquares: 0.272727272727273 },
    f: 298.666666666667,
  },
  Pontius: {
    file: 'strd_pontius.csv',
    model: `y ~ ${powers(2)}`,
    estimates: [0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14],
    standardErrors: [0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16],
    residualStandardDeviation: 0.205177424076185e-3,
    rSquared: 0.999999900178537,
    regression: { df: 2, sumOfSquares: 15.6040343244198 },
    residual: { df: 37, sumOfSquares: 0.155761768796992e-5 },
    f: 185330865.995752,
  },
}

describe('linear sets, to 12 digits', () => {
  test.each(Object.entries(sets))('%s', (_, certified) => {
    const fit = fitOf({ table: dataTable(certified.file), model: certified.model })
    expect(fit.terms).toHaveLength(certified.estimates.length)
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, certified.estimates[i] as number)
      closeTo(term.standardError, certified.standardErrors[i] as number)
    })
    closeTo(fit.residualStandardDeviation, certified.residualStandardDeviation)
    closeTo(fit.rSquared, certified.rSquared)
    const residual = fit.analysisOfVariance.find(({ source }) => source === 'residual')
    expect(residual?.df).toBe(certified.residual.df)
    closeTo(residual?.sumOfSquares, certified.residual.sumOfSquares)
    const terms = fit.analysisOfVariance.slice(0, -2)
    const sum = terms.reduce((total, row) => total + row.sumOfSquares, 0)
    const df = terms.reduce((total, row) => total + row.df, 0)
    expect(df).toBe(certified.regression.df)
    closeTo(sum, certified.regression.sumOfSquares)
    closeTo(sum / df / (residual?.meanSquare ?? 0), certified.f)
  })

  test('Wampler1: all coefficients are 1, without error', () => {
    const fit = fitOf({ table: dataTable('strd_wampler1.csv'), model: `y ~ ${powers(5)}` })
    for (const term of fit.terms) {
      closeTo(term.estimate, 1, 1e-14)
      expect(term.standardError).toBeLessThan(1e-14)
    }
    expect(fit.rSquared).toBe(1)
    expect(fit.logLikelihood).toBeNull()
    expect(fit.problems.map(({ code }) => code)).toContain('exactFit')
  })

  test('Wampler2: coefficients are falling powers of ten, without error', () => {
    const fit = fitOf({ table: dataTable('strd_wampler2.csv'), model: `y ~ ${powers(5)}` })
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, 10 ** -i, 1e-12)
      expect(term.standardError).toBeLessThan(1e-13)
    })
  })

  // PRESS and the largest leverage are not certified; they were computed in exact rational arithmetic.
  test.each([
    ['Norris', 30.475091785932, 0.107106320231685],
    ['NoInt1', 153.843658090014, null],
    ['Longley', 2886892.54145212, 0.688614601693893],
    ['Filip', 0.00157884562478328, 0.932749578981557],
  ])('%s: prediction sum of squares and largest leverage', (name, press, leverage) => {
    const { file, model } = sets[name] as Certified
    const fit = fitOf({ table: dataTable(file), model })
    closeTo(fit.press, press, 1e-11)
    if (leverage !== null) closeTo(Math.max(...fit.runs.map((run) => run.leverage)), leverage, 1e-11)
  })

  test('Wampler1: largest leverage', () => {
    const fit = fitOf({ table: dataTable('strd_wampler1.csv'), model: `y ~ ${powers(5)}` })
    closeTo(Math.max(...fit.runs.map((run) => run.leverage)), 0.83164661425531)
  })
})
