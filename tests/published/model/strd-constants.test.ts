import { describe, expect, test } from 'vitest'
import { closeTo } from './close-to.ts'
import { dataText, writtenTable } from './data-table.ts'
import { fitOf } from './fitted.ts'

// Certified values of the NIST Statistical Reference Datasets, analysis of variance and univariate summaries
// (National Institute of Standards and Technology, public domain): sets whose constant hides the scatter. They are
// read as a person's file is, so that digits beyond a double count. From memory: the values of SmLs04–09 (they are
// those of SmLs01–03), the rules of the NumAcc sets and the residual standard deviation of SiRstv.

const oneWay = (text: string) => fitOf({ table: writtenTable(text, ['treatment']), model: 'y ~ treatment' })

type OneWay = [
  between: number,
  dfBetween: number,
  within: number,
  dfWithin: number,
  f: number,
  rSquared: number,
  residualStandardDeviation: number,
]

function expectOneWay(
  fit: ReturnType<typeof fitOf>,
  [between, dfBetween, within, dfWithin, f, rSquared, deviation]: OneWay,
): void {
  const [treatment, residual] = fit.analysisOfVariance
  expect([treatment?.df, residual?.df]).toEqual([dfBetween, dfWithin])
  closeTo(treatment?.sumOfSquares, between)
  closeTo(residual?.sumOfSquares, within)
  closeTo(treatment?.f, f)
  closeTo(fit.rSquared, rSquared)
  closeTo(fit.residualStandardDeviation, deviation)
  closeTo(fit.marginalTests[0]?.f, f)
}

describe('one-way analysis of variance, to 12 digits', () => {
  test.each<[string, OneWay]>([
    [
      'strd_sirstv.csv',
      [5.11462616e-2, 4, 2.1663656e-1, 20, 1.18046237440255, 1.90999039051129e-1, 1.04076068334656e-1],
    ],
    [
      'strd_atmwtag.csv',
      [3.638341875e-9, 1, 1.04951729166667e-8, 46, 15.946733567793, 2.57426544538321e-1, 1.5104831444641e-5],
    ],
  ])('%s', (file, certified) => {
    expectOneWay(oneWay(dataText(file)), certified)
  })

  // Sets SmLs04–06 and SmLs07–09 are SmLs01–03 with 1 000 000 and 1 000 000 000 000 in the place of 1.
  const simulated: [string, OneWay][] = [
    ['strd_smls01.csv', [1.68, 8, 1.8, 180, 21, 4.82758620689655e-1, 0.1]],
    ['strd_smls02.csv', [16.08, 8, 18, 1800, 201, 4.71830985915493e-1, 0.1]],
    ['strd_smls03.csv', [160.08, 8, 180, 18000, 2001, 4.70712773465067e-1, 0.1]],
  ]
  describe.each([['1'], ['1000000'], ['1000000000000']])('readings of about %s', (constant) => {
    test.each(simulated)('with the scatter of %s', (file, certified) => {
      const fit = oneWay(dataText(file).replaceAll(',1.', `,${constant}.`))
      expectOneWay(fit, certified)
      // The means of the treatments: 0.4 above the constant, and 0.1 below and above that in turn.
      const [first, second, third] = fit.terms
      closeTo(first?.estimate, Number(constant) + 0.4, 1e-14)
      closeTo(second?.estimate, -0.1)
      closeTo(third?.estimate, 0.1)
      const replicates = 1 + (certified[3] as number) / 9
      closeTo(first?.standardError, 0.1 / Math.sqrt(replicates))
      closeTo(second?.standardError, 0.1 * Math.sqrt(2 / replicates))
    })
  })
})

describe('means and standard deviations, to 13 digits', () => {
  const alternating = (constant: number) =>
    ['y', `${constant}.2`, ...Array.from({ length: 500 }, () => `${constant}.1\n${constant}.3`)].join('\n')

  test.each([
    ['Lew', dataText('strd_lew.csv'), -177.435, 277.332168044316],
    ['Lottery', dataText('strd_lottery.csv'), 518.95871559633, 291.699727470969],
    ['Mavro', dataText('strd_mavro.csv'), 2.001856, 0.000429123454003053],
    ['Michelso', dataText('strd_michelso.csv'), 299.8524, 0.0790105478190518],
    ['NumAcc1', 'y\n10000001\n10000003\n10000002\n', 10000002, 1],
    ['NumAcc2', alternating(1), 1.2, 0.1],
    ['NumAcc3', alternating(1_000_000), 1000000.2, 0.1],
    ['NumAcc4', alternating(10_000_000), 10000000.2, 0.1],
  ])('%s', (_, text, mean, deviation) => {
    const fit = fitOf({ table: writtenTable(text), model: 'y ~ 1' })
    const [constant] = fit.terms
    closeTo(constant?.estimate, mean, 1e-13)
    closeTo(fit.residualStandardDeviation, deviation, 1e-13)
    closeTo(constant?.standardError, deviation / Math.sqrt(fit.n), 1e-13)
  })
})
