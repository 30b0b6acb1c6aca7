import { describe, expect, test } from 'vitest'
import { analyseGaugeStudy } from '../../../shared/gauge/analyse-study.ts'
import { enoughReadings } from '../../../shared/gauge/enough-readings.ts'
import type { StudyReading } from '../../../shared/gauge/mean-squares.ts'
import { deviationFactors, varianceEstimate } from '../../../shared/gauge/variance-interval.ts'
import { dataTable } from '../model/data-table.ts'

/** The readings of gauge-study.R: 4 wafers × 2 operators × 3 loadings × 2 scans, scans running fastest. */
const readings: StudyReading[] = [
  1498.2, 1498.9, 1500.1, 1499.4, 1497.6, 1498.3, 1501.5, 1500.8, 1500.2, 1501.1, 1499.6, 1500.5, 1511.3,
  1510.6, 1512.9, 1512.2, 1511.8, 1512.4, 1513.0, 1513.9, 1514.8, 1514.1, 1512.5, 1513.3, 1487.4, 1486.8,
  1488.9, 1489.5, 1487.0, 1487.7, 1489.9, 1490.4, 1488.8, 1489.6, 1491.2, 1490.5, 1504.0, 1504.7, 1503.1,
  1502.6, 1505.2, 1504.5, 1505.9, 1506.6, 1507.3, 1506.5, 1505.1, 1505.8,
].map((value, i) => ({
  wafer: `W${Math.floor(i / 12)}`,
  operator: `O${Math.floor(i / 6) % 2}`,
  reload: String(Math.floor(i / 2) % 3),
  value,
}))

function analysed(given: readonly StudyReading[], options?: Parameters<typeof analyseGaugeStudy>[1]) {
  const answer = analyseGaugeStudy(given, options)
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}
const part = (result: ReturnType<typeof analysed>, name: string) => {
  const found = result.parts.find((one) => one.name === name)
  if (!found) throw new Error(`no ${name}`)
  return found
}

describe('a study of wafers, operators, loadings and scans against R (gauge-study.R)', () => {
  const result = analysed(readings)

  test('its analysis of variance', () => {
    const expected = [
      ['wafers', 3, 1197.285],
      ['operators', 1, 47.6008333333],
      ['waferOperator', 3, 0.155833333333],
      ['loadings', 16, 1.513541666667],
      ['scans', 24, 0.25625],
    ] as const
    expected.forEach(([source, df, meanSquare], i) => {
      expect(result.meanSquares[i]).toMatchObject({ source, df })
      expect(result.meanSquares[i]?.meanSquare).toBeCloseTo(meanSquare, 8)
    })
  })

  test.each([
    ['repeatability', 0.506211418282889, 0.39526423672479, 0.704217111760973],
    ['reload', 0.79287188960978, 0.522573227411839, 1.274125024776628],
    ['waferOperator', 0, 0, 0.325502755161434],
    ['operators', 1.406013869063837, 0.638286961874261, 44.939649413732262],
    ['wafers', 9.988031031634238, 5.66103386227918, 37.2430656269889],
  ])('%s with its interval', (name, value, low, high) => {
    const found = part(result, name)
    expect(found.standardDeviation).toBeCloseTo(value, 8)
    expect(found.interval[0]).toBeCloseTo(low, 8)
    expect(found.interval[1]).toBeCloseTo(high, 6)
    expect(found.negative).toBe(name === 'waferOperator')
  })

  test('the gauge in all', () => {
    const gauge = part(result, 'gauge')
    expect(gauge.interval[0]).toBeCloseTo(1.0150189411897, 8)
    expect(gauge.interval[1]).toBeCloseTo(44.9470040272079, 6)
    expect(gauge.df).toBeCloseTo(1.75821891038862, 8)
    // The sum of the parts as they are shown, the negative one as zero; unshortened it is 1.62341803338234.
    expect(gauge.standardDeviation).toBeCloseTo(
      Math.hypot(0.506211418282889, 0.79287188960978, 1.406013869063837),
      8,
    )
    expect(result.problems.map(({ code }) => code)).toContain('negativeVariance')
  })
})

describe('published worked examples', () => {
  // Thermal impedance of ten power modules read three times by three people: mean squares 437.3284, 19.6333, 2.6951
  // and 0.5111, as in Burdick, Borror & Montgomery, J. Quality Technology 35, 2003 (from memory).
  const [wafers, operators, both, error] = [
    { value: 437.3284, df: 9 },
    { value: 19.6333, df: 2 },
    { value: 2.6951, df: 18 },
    { value: 0.5111, df: 60 },
  ] as const

  test('modified large sample interval of a sum: the gauge', () => {
    const { estimate, interval } = varianceEstimate([
      { square: operators, coefficient: 1 / 30 },
      { square: both, coefficient: 9 / 30 },
      { square: error, coefficient: 2 / 3 },
    ])
    expect(estimate).toBeCloseTo(1.8037, 4)
    expect(interval[0]).toBeCloseTo(1.206, 2)
    expect(interval[1]).toBeCloseTo(27.02, 2)
  })

  test('and of a difference: the parts', () => {
    const { estimate, interval } = varianceEstimate([
      { square: wafers, coefficient: 1 / 9 },
      { square: both, coefficient: -1 / 9 },
    ])
    expect(estimate).toBeCloseTo(48.2926, 4)
    expect(interval[0]).toBeCloseTo(22.69, 2)
    expect(interval[1]).toBeCloseTo(161.64, 2)
  })

  // NIST/SEMATECH e-Handbook 2.6.1, resistivity probes: level 1 within a day, level 2 between the days of a wafer,
  // level 3 between the two runs.
  const columns = dataTable('nist_gauge_resistivity.csv').columns
  const at = (name: string, row: number) => Number(columns.find((one) => one.name === name)?.values[row])
  const rows = Array.from({ length: columns[0]?.values.length ?? 0 }, (_, row) => ({
    run: at('run', row),
    wafer: at('wafer', row),
    probe: at('probe', row),
    day: row,
    average: at('average', row),
    scatter: at('stddev', row),
  }))
  /** Six readings with the mean and standard deviation that the file gives for each day. */
  const six = [-5, -3, -1, 1, 3, 5].map((step) => step / Math.sqrt(14))
  const studyOf = (own: typeof rows): StudyReading[] =>
    own.flatMap(({ run, wafer, day, average, scatter }) =>
      six.map((step) => ({
        wafer: String(wafer),
        operator: `run ${run}`,
        reload: String(day),
        value: average + scatter * step,
      })),
    )

  test.each([
    [1, 0.0951819940955, 0.0464030602439, 0.0889134410536, 0.0482364820442, 0.0281998556931],
    [281, 0.103181962248, 0.036000991653, 0.117829960819, 0.0512466493214, 0.0323466763706],
    [283, 0.090462518942, 0.0502788822469, 0.0939302524927, 0.0405955982836, 0.0393495125623],
    [2062, 0.105013765764, 0.049503380356, 0.187563216899, 0.0645450989619, 0.0733401911566],
    [2362, 0.0675089845872, 0.0333367024964, 0.0778566396227, 0.038793653261, 0.0196452362051],
  ])('probe %i', (probe, first1, first2, second1, second2, third) => {
    const own = rows.filter((row) => row.probe === probe)
    const levels = (run: number) => {
      const { meanSquares } = analysed(studyOf(own.filter((row) => row.run === run)))
      const of = (source: string) => meanSquares.find((one) => one.source === source)
      expect(of('scans')?.df).toBe(150)
      expect(of('loadings')?.df).toBe(25)
      // Level 2 is the standard deviation of the averages of six.
      return [Math.sqrt(of('scans')?.meanSquare ?? 0), Math.sqrt((of('loadings')?.meanSquare ?? 0) / 6)]
    }
    const [one, two] = [levels(1), levels(2)]
    expect(one[0]).toBeCloseTo(first1, 10)
    expect(one[1]).toBeCloseTo(first2, 10)
    expect(two[0]).toBeCloseTo(second1, 10)
    expect(two[1]).toBeCloseTo(second2, 10)
    const { meanSquares } = analysed(studyOf(own))
    const of = (source: string) => meanSquares.find((one) => one.source === source)?.meanSquare ?? 0
    // Runs within wafers, 5 degrees of freedom: one between the runs and four of wafers by runs, over 36 readings a mean.
    expect(Math.sqrt((of('operators') + 4 * of('waferOperator')) / 5 / 36)).toBeCloseTo(third, 10)
  })
})

describe('numbers of the trade', () => {
  test('8 degrees of freedom know a standard deviation to 0.68–1.92 times', () => {
    const [low, high] = deviationFactors(8)
    expect(low).toBeCloseTo(0.68, 2)
    expect(high).toBeCloseTo(1.92, 2)
  })

  test('1.5 nm take 15 % of ±30 nm, a single scan of 8 nm 80 %', () => {
    const about = (deviation: number): StudyReading[] =>
      [-1, 1].map((side) => ({
        wafer: 'A',
        operator: '',
        reload: String(side),
        value: 1500 + (side * deviation) / Math.SQRT2,
      }))
    const share = (deviation: number) => analysed(about(deviation), { tolerance: 30 }).share?.share
    expect(share(1.5)).toBeCloseTo(0.15, 12)
    expect(share(8)).toBeCloseTo(0.8, 12)
  })

  test('how many are enough: scans shrink the repeatability, loadings both', () => {
    const parts = [
      { name: 'repeatability' as const, standardDeviation: 3 },
      { name: 'reload' as const, standardDeviation: 1 },
    ].map((one) => ({
      ...one,
      df: 9,
      interval: [0, 9] as [number, number],
      method: 'chiSquare' as const,
      negative: false,
    }))
    // Six standard deviations may take 2 × 6: σ² ≤ 4, so 1 + 9/k ≤ 4.
    expect(enoughReadings(parts, 6)).toEqual({ reloads: 1, scans: 3 })
    // σ² ≤ 1: the reload alone takes that, so two loadings and (1 + 9/k)/2 ≤ 1.
    expect(enoughReadings(parts, 3)).toEqual({ reloads: 2, scans: 9 })
    expect(enoughReadings([{ ...parts[1]!, name: 'operators' }], 2.9)).toBeNull()
  })
})
