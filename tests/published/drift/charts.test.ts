import { describe, expect, test } from 'vitest'
import { falseAlarms } from '../../../shared/drift/false-alarms.ts'
import { limitsOf } from '../../../shared/drift/limits.ts'
import { alarmsOf, driftRules } from '../../../shared/drift/rules.ts'
import { weightedAverage } from '../../../shared/drift/weighted-average.ts'

describe('individuals and moving range, NIST/SEMATECH e-Handbook 6.3.2.2', () => {
  const values = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
  const limits = limitsOf(values)!

  test('centre and limits as printed there, which round d₂ to 1.128', () => {
    expect(limits.centre).toBeCloseTo(50.81, 10)
    expect(limits.meanMovingRange).toBeCloseTo(1.8778, 4)
    expect(limits.upper).toBeCloseTo(55.8041, 2)
    expect(limits.lower).toBeCloseTo(45.8159, 2)
  })

  test('with the exact constants: 3/d₂ = 2.658681, D₄ = 3.266532', () => {
    // Computed from the same values: 50.81 ± 2.658680776·1.877777778.
    expect(limits.upper).toBeCloseTo(55.8024116801, 9)
    expect(limits.lower).toBeCloseTo(45.8175883199, 9)
    expect(limits.movingRangeUpper / limits.meanMovingRange).toBeCloseTo(3.266532, 6)
  })

  test('provisional below 30 points; none from one point or from equal ones', () => {
    expect(limits.provisional).toBe(true)
    expect(limitsOf(Array.from({ length: 30 }, (_, i) => i % 2))?.provisional).toBe(false)
    expect(limitsOf([5])).toBeNull()
    expect(limitsOf([5, 5, 5])).toBeNull()
  })
})

describe('exponentially weighted average, NIST/SEMATECH e-Handbook 6.3.2.4', () => {
  const values = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
    52.4, 53.6, 52.1,
  ]
  const printed = [
    50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
    49.92, 50.73, 51.23, 51.94, 51.99,
  ]
  const points = weightedAverage(values, { centre: 50, sigma: 2.0539 }, { weight: 0.3, width: 3 })

  test('the averages as printed, no signal, and the limits at the end', () => {
    points.forEach(({ value }, i) => {
      expect(value).toBeCloseTo(printed[i]!, 2)
    })
    expect(points.some(({ outside }) => outside)).toBe(false)
    expect(points.at(-1)?.upper).toBeCloseTo(52.5884, 4)
    expect(points.at(-1)?.lower).toBeCloseTo(47.4115, 3)
  })

  test('the limits that hold at each value', () => {
    // √(λ/(2 − λ)·(1 − (1 − λ)^2t))·3·2.0539 at t = 1, 2, 3, 20, computed.
    for (const [t, upper] of [
      [1, 51.84851],
      [2, 52.2563940121],
      [3, 52.4314055708],
      [20, 52.5884309141],
    ] as const)
      expect(points[t - 1]?.upper).toBeCloseTo(upper, 8)
  })
})

describe('zone rules, Western Electric Statistical Quality Control Handbook (1956)', () => {
  // An invented row of z-scores; the alarms follow from the rules as worded there, counted by hand from 1.
  const scores = [
    0.2, -0.5, 1.1, 2.3, 0.4, 2.2, -0.3, 1.2, 1.4, 0.6, 1.7, 1.3, -0.8, 0.1, 0.3, 0.2, 0.5, 0.9, 0.4, 0.1,
    0.7, -3.2, 0.0, -2.1, -2.4,
  ]
  const of = (rule: (typeof driftRules)[number]) =>
    alarmsOf(scores, { centre: 0, sigma: 1 }, [rule]).map(({ index }) => index + 1)

  test('each at the value that completes it', () => {
    expect(of('beyond three')).toEqual([22])
    expect(of('two of three')).toEqual([6, 24, 25])
    expect(of('four of five')).toEqual([12])
    expect(of('eight on one side')).toEqual([21])
  })

  test('the four together alarm once in 92 values where nothing has changed (Champ & Woodall, Technometrics 29, 1987)', () => {
    // Average run length 91.75 [from memory]: 1 − exp(−24/91.75) = 23 % among 24, less at the start of a row.
    const four = driftRules.filter((rule) => rule !== 'average')
    const { chance, standardError } = falseAlarms({ rules: four, points: null, among: 24, times: 4000 })
    expect(chance).toBeGreaterThan(0.19)
    expect(chance).toBeLessThan(0.25)
    expect(standardError).toBeLessThan(0.008)
  })

  test('3 σ alone: 1 − (1 − 0.0027)^24', () => {
    const { chance, standardError } = falseAlarms({
      rules: ['beyond three'],
      points: null,
      among: 24,
      times: 8000,
    })
    expect(Math.abs(chance - (1 - 0.9973002039 ** 24))).toBeLessThan(4 * standardError)
  })

  test('limits from few points raise it far above that', () => {
    const from = (points: number | null) =>
      falseAlarms({ rules: ['beyond three'], points, among: 24, times: 3000 }).chance
    const [few, more, known] = [from(15), from(60), from(null)]
    // 21 % from 15 points by another simulation of the same (common practice, no source).
    expect(Math.abs(few - 0.21)).toBeLessThan(0.04)
    expect(few).toBeGreaterThan(more)
    expect(more).toBeGreaterThan(known)
  })
})

describe('how long the weighted average takes to alarm (Lucas & Saccucci, Technometrics 32, 1990)', () => {
  /** Mean number of values to the first alarm, by the integral equation over the average's place (Crowder, 1987). */
  function runLength(weight: number, width: number, shift: number): number {
    const n = 201
    const limit = width * Math.sqrt(weight / (2 - weight))
    const nodes = Array.from({ length: n }, (_, i) => -limit + (2 * limit * (i + 0.5)) / n)
    const step = (2 * limit) / n
    const density = (x: number) => Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)
    const a = nodes.map((u, i) =>
      nodes.map(
        (v, j) => Number(i === j) - (step * density((v - (1 - weight) * u) / weight - shift)) / weight,
      ),
    )
    const b = nodes.map(() => 1)
    for (let k = 0; k < n; k++)
      for (let i = k + 1; i < n; i++) {
        const factor = a[i]![k]! / a[k]![k]!
        for (let j = k; j < n; j++) a[i]![j]! -= factor * a[k]![j]!
        b[i]! -= factor * b[k]!
      }
    for (let i = n - 1; i >= 0; i--) {
      for (let j = i + 1; j < n; j++) b[i]! -= a[i]![j]! * b[j]!
      b[i]! /= a[i]![i]!
    }
    return b[(n - 1) / 2]!
  }

  test('the equation gives their table: λ 0.2, L 2.962', () => {
    expect(runLength(0.2, 2.962, 0) / 499.735).toBeCloseTo(1, 2)
    expect(runLength(0.2, 2.962, 1)).toBeCloseTo(10.542, 1)
    expect(runLength(0.2, 2.962, 2)).toBeCloseTo(3.743, 1)
  })

  test('the rule alarms as often as the equation says', () => {
    // Limits that hold at each value alarm a little earlier at first than those of the end, which the equation takes.
    const { chance, standardError } = falseAlarms({
      rules: ['average'],
      points: null,
      among: 24,
      times: 4000,
    })
    // What the comment at `usualWeighting` says.
    expect(runLength(0.2, 2.7, 0)).toBeCloseTo(237.8, 0)
    expect(runLength(0.2, 2.7, 1)).toBeCloseTo(8.77, 1)
    const steady = 1 - Math.exp(-24 / runLength(0.2, 2.7, 0))
    expect(chance).toBeGreaterThan(steady - 4 * standardError)
    expect(chance).toBeLessThan(steady + 0.03 + 4 * standardError)
  })
})
