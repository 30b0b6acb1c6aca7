import { describe, test } from 'vitest'
import {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareUpper,
  fCdf,
  fQuantile,
  fUpper,
  noncentralFCdf,
  noncentralTCdf,
  normalCdf,
  normalQuantile,
  tCdf,
  tQuantile,
  tUpper,
} from '../../../shared/model/distributions.ts'
import { closeTo } from './close-to.ts'

// Values of R 4.2.2 (R Core Team), printed with 17 digits by the command that stands beside each table.

describe('distribution functions agree with R to 12 digits', () => {
  test.each([
    // pt(t, df, lower.tail = FALSE)
    [0.1, 3, 4.6332617440040291e-1],
    [2, 10, 3.6694017385370196e-2],
    [12, 3.7, 2.1339369969062245e-4],
    [30, 5, 3.8593243102480234e-7],
    [0.001, 2.5, 4.9963819136039245e-1],
    [50, 200, 2.7102877398912002e-115],
  ])('P(T > %f) with %f degrees of freedom', (t, df, expected) => {
    closeTo(tUpper(t, df), expected)
    closeTo(tCdf(-t, df), expected)
    closeTo(tCdf(t, df), 1 - expected)
  })

  test('with a million degrees of freedom 9 digits are left', () => {
    // pt(1.5, 1e6, lower.tail = FALSE)
    closeTo(tUpper(1.5, 1e6), 6.6807359118396414e-2, 1e-9)
  })

  test.each([
    // qt(p, df)
    [0.975, 10, 2.2281388519862739],
    [0.95, 1, 6.3137515146750376],
    [0.6, 4.5, 2.687518355421753e-1],
    [1e-10, 7, -5.3835579484673751e1],
    [0.995, 250.25, 2.5956176992940381],
    [0.25, 2, -8.1649658092772592e-1],
  ])('the t with P(T ≤ t) = %f at %f degrees of freedom', (p, df, expected) => {
    closeTo(tQuantile(p, df), expected)
  })

  test.each([
    // pf(f, df1, df2, lower.tail = FALSE)
    [3.24, 3, 16, 4.9951503968059648e-2],
    [318.45059, 1, 52, 7.9889584937641754e-24],
    [0.5, 2, 9, 6.2243111185094246e-1],
    [14.8171, 1, 9, 3.9105065703514044e-3],
    [5436385.54079785, 1, 34, 4.6540408524723738e-90],
    [1.2, 2.5, 7.25, 3.6665226493385455e-1],
  ])('P(F > %f) with %f and %f degrees of freedom', (f, df1, df2, expected) => {
    closeTo(fUpper(f, df1, df2), expected)
  })

  test('the lower tail of F, and its quantiles on either side', () => {
    // pf(1e-6, 3, 16); pf(2, 5, 8); qf(0.95, 3, 16); qf(0.05, 3, 16); qf(0.999, 1.5, 4.2)
    closeTo(fCdf(1e-6, 3, 16), 1.4455985686481477e-9)
    closeTo(fCdf(2, 5, 8), 8.1700226277427157e-1)
    closeTo(fQuantile(0.95, 3, 16), 3.238871517453584)
    closeTo(fQuantile(0.05, 3, 16), 1.1504453134698996e-1)
    closeTo(fQuantile(0.999, 1.5, 4.2), 5.8596049702749561e1)
  })

  test('χ², both tails and quantiles', () => {
    // pchisq(100, 5, lower.tail = FALSE); pchisq(0.01, 1, lower.tail = FALSE); pchisq(1e-4, 4); pchisq(3, 7)
    closeTo(chiSquareUpper(100, 5), 5.28514836094324e-20)
    closeTo(chiSquareUpper(0.01, 1), 9.2034432544594202e-1)
    closeTo(chiSquareCdf(1e-4, 4), 1.2499583341145731e-9)
    closeTo(chiSquareCdf(3, 7), 1.1499776835684938e-1)
    // qchisq(0.95, 4); qchisq(0.95, 1); qchisq(1e-8, 3); qchisq(0.025, 20)
    closeTo(chiSquareQuantile(0.95, 4), 9.487729036781154)
    closeTo(chiSquareQuantile(0.95, 1), 3.841458820694124)
    closeTo(chiSquareQuantile(1e-8, 3), 1.122333097305001e-5)
    closeTo(chiSquareQuantile(0.025, 20), 9.5907773922648669)
  })

  test('the normal distribution', () => {
    // pnorm(-8); pnorm(0.3); pnorm(1.96); qnorm(0.975); qnorm(1e-12); qnorm(0.3)
    closeTo(normalCdf(-8), 6.2209605742717849e-16)
    closeTo(normalCdf(0.3), 6.1791142218895267e-1)
    closeTo(normalCdf(1.96), 9.7500210485177963e-1)
    closeTo(normalQuantile(0.975), 1.9599639845400536)
    closeTo(normalQuantile(1e-12), -7.0344838253011321)
    closeTo(normalQuantile(0.3), -5.2440051270804067e-1)
  })
})

describe('non-central distributions agree with 30-digit evaluation', () => {
  // R stops its own series at an error of about 1e-10 here, so the expected values were computed by numerical
  // integration (t) and direct summation (F) in mpmath with 30 digits; R agrees with them to 9 digits.
  test.each([
    [2, 10, 1.5, 0.65915407244219],
    [-1, 5, 0.5, 0.0824440910567234],
    [0, 7, 1.2, 0.115069670221708],
    [3, 4.5, -0.5, 0.994042910419789],
    [10, 20, 8, 0.842988442441923],
    [35, 12, 30, 0.716748846575524],
  ])('t: P(T ≤ %f; %f, %f)', (t, df, delta, expected) => {
    closeTo(noncentralTCdf(t, df, delta), expected)
  })

  test.each([
    [4, 2, 12, 5, 0.608199979342696],
    [1, 3, 16, 0.5, 0.514602508770766],
    [20, 4, 30, 60, 0.72850155737341],
    [0.2, 1, 5, 3, 0.0815350524580127],
    [300, 3.5, 40.5, 800, 0.851039252840999],
  ])('F: P(F ≤ %f; %f, %f, %f)', (f, df1, df2, lambda, expected) => {
    closeTo(noncentralFCdf(f, df1, df2, lambda), expected)
  })

  test('without non-centrality they are the central ones', () => {
    // pt(1.3, 8); pf(2, 2, 9)
    closeTo(noncentralTCdf(1.3, 8, 0), 8.8509818754073732e-1)
    closeTo(noncentralFCdf(2, 2, 9, 0), 8.0886236542310874e-1)
  })
})

describe('power of usual tests', () => {
  // R 4.2.2: power.t.test(n = 20, delta = 1); power.t.test(n = 5, delta = 1), which count one tail
  test.each([
    [20, 0.868952801692],
    [5, 0.285927597694],
  ])('two samples of %i, one σ apart, in the expected direction', (n, expected) => {
    const df = 2 * n - 2
    closeTo(1 - noncentralTCdf(tQuantile(0.975, df), df, Math.sqrt(n / 2)), expected, 1e-11)
  })

  test('two samples of five, one σ apart, in either direction', () => {
    // power.t.test(n = 5, delta = 1, strict = TRUE)
    const [t, delta] = [tQuantile(0.975, 8), Math.sqrt(2.5)]
    closeTo(1 - noncentralTCdf(t, 8, delta) + noncentralTCdf(-t, 8, delta), 0.286295493381, 1e-11)
  })

  // R 4.2.2: pf(qf(0.95, 2, 3 * n - 3), 2, 3 * n - 3, ncp = 2 * n, lower.tail = FALSE); its series ends at 1e-9
  test.each([
    [2, 0.185061775542],
    [3, 0.380894743936],
    [4, 0.559631029146],
    [5, 0.701508342623],
    [6, 0.805317230451],
  ])('three groups of %i with two means 2σ apart', (n, expected) => {
    const df2 = 3 * n - 3
    closeTo(1 - noncentralFCdf(fQuantile(0.95, 2, df2), 2, df2, 2 * n), expected, 5e-9)
  })

  test('four groups of five, variance 1 between and 3 within', () => {
    // power.anova.test(groups = 4, n = 5, between.var = 1, within.var = 3)
    closeTo(1 - noncentralFCdf(fQuantile(0.95, 3, 16), 3, 16, 5), 0.353559423815, 5e-9)
  })
})
