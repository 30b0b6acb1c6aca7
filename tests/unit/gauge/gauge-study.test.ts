import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { analyseGaugeStudy } from '../../../shared/gauge/analyse-study.ts'
import { gaugeBias } from '../../../shared/gauge/gauge-bias.ts'
import { biasWords, degreesWords, studyWords } from '../../../shared/gauge/gauge-words.ts'
import { loadingOrder } from '../../../shared/gauge/loading-order.ts'
import { type StudyReading, studyMeanSquares } from '../../../shared/gauge/mean-squares.ts'
import { oddReadings } from '../../../shared/gauge/odd-readings.ts'
import { openQuestions } from '../../../shared/gauge/open-questions.ts'
import { studyReach } from '../../../shared/gauge/study-reach.ts'
import { seeded } from '../../../shared/random.ts'

type Spread = { wafers: number; operators: number; waferOperator: number; reload: number; scan: number }
type Size = { wafers: number; operators: number; reloads: number; scans: number }

/** An invented study; `missing` says which share of the scans was not made. */
function invented(size: Size, spread: Spread, seed: number, missing = 0): StudyReading[] {
  const random = seeded(seed)
  const of = (sd: number) => sd * random.normal()
  const many = (n: number) => Array.from({ length: n }, (_, i) => i)
  const operators = many(size.operators).map(() => of(spread.operators))
  return many(size.wafers).flatMap((wafer) => {
    const film = 1500 + of(spread.wafers)
    return many(size.operators).flatMap((operator) => {
      const both = film + (operators[operator] ?? 0) + of(spread.waferOperator)
      return many(size.reloads).flatMap((reload) => {
        const loaded = both + of(spread.reload)
        return many(size.scans).flatMap((scan) => {
          const value = loaded + of(spread.scan)
          const made = random.uniform() >= missing || (scan === 0 && reload < 2)
          return made ? [{ wafer: `W${wafer}`, operator: `O${operator}`, reload: String(reload), value }] : []
        })
      })
    })
  })
}
function analysed(...args: Parameters<typeof analyseGaugeStudy>) {
  const answer = analyseGaugeStudy(...args)
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

describe('intervals hold what they promise, and estimates are right on average', () => {
  const truth: Spread = { wafers: 8, operators: 1, waferOperator: 0.6, reload: 1.2, scan: 1 }
  const times = process.env.EVENFILM_TEST_LONG ? 1500 : 500
  /** Five standard errors of a proportion of 0.95. */
  const slack = 5 * Math.sqrt((0.95 * 0.05) / times)

  test.each([
    ['wafers, loadings and scans', { wafers: 4, operators: 1, reloads: 5, scans: 2 }, 0],
    ['with operators', { wafers: 6, operators: 3, reloads: 3, scans: 2 }, 0],
    ['with a quarter of the scans missing', { wafers: 6, operators: 3, reloads: 4, scans: 3 }, 0.25],
  ])('%s', (_, size, missing) => {
    const gauge = Math.hypot(
      truth.reload,
      truth.scan,
      ...(size.operators > 1 ? [truth.operators, truth.waferOperator] : []),
    )
    const wanted = { repeatability: truth.scan, reload: truth.reload, gauge }
    const covered = { repeatability: 0, reload: 0, gauge: 0 }
    const reloads: number[] = []
    for (let seed = 0; seed < times; seed++) {
      const readings = invented(size, truth, seed, missing)
      const { parts } = analysed(readings)
      for (const name of Object.keys(wanted) as (keyof typeof wanted)[]) {
        const [low, high] = parts.find((one) => one.name === name)?.interval ?? [0, 0]
        if (low <= wanted[name] && wanted[name] <= high) covered[name]++
      }
      const squares = studyMeanSquares(readings)
      if (!squares.ok) throw new Error('no mean squares')
      const { ofLoadings, scans, a } = squares.value
      reloads.push((ofLoadings?.value ?? 0) - a * (scans?.value ?? 0))
    }
    expect(Math.abs(covered.repeatability / times - 0.95)).toBeLessThan(slack)
    expect(covered.reload / times).toBeGreaterThan(0.95 - slack)
    expect(covered.reload / times).toBeLessThan(0.985)
    expect(covered.gauge / times).toBeGreaterThan(0.95 - slack)
    const mean = reloads.reduce((sum, value) => sum + value, 0) / times
    const scatter = Math.sqrt(
      reloads.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (times - 1) / times,
    )
    expect(Math.abs(mean - truth.reload ** 2)).toBeLessThan(4 * scatter)
  })

  test('expectations between wafers are exact with readings missing', () => {
    const size = { wafers: 5, operators: 2, reloads: 3, scans: 2 }
    const estimates = Array.from({ length: times }, (_, seed) => {
      const found = studyMeanSquares(invented(size, truth, seed, 0.3))
      if (!found.ok) throw new Error('no mean squares')
      const { waferOperator, ofLoadings, scans, a, b, c } = found.value
      const inCell = b * (ofLoadings?.value ?? 0) + (c - a * b) * (scans?.value ?? 0)
      return (waferOperator?.value ?? 0) - inCell
    })
    const mean = estimates.reduce((sum, value) => sum + value, 0) / times
    const scatter = Math.sqrt(
      estimates.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (times - 1) / times,
    )
    expect(Math.abs(mean - truth.waferOperator ** 2)).toBeLessThan(4 * scatter)
  })
})

describe('a study', () => {
  const spread: Spread = { wafers: 8, operators: 1, waferOperator: 0.5, reload: 1, scan: 1 }

  test('does not mind units, names or the order of its readings', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e6 }),
        fc.double({ min: 0.1, max: 1000, noNaN: true }),
        (seed, unit) => {
          const readings = invented({ wafers: 3, operators: 2, reloads: 2, scans: 2 }, spread, seed, 0.2)
          const first = analysed(readings)
          const other = analysed(
            seeded(seed)
              .shuffled(readings)
              .map((one) => ({ ...one, wafer: `no. ${one.wafer}`, value: one.value * unit })),
          )
          first.parts.forEach((part, i) => {
            const scaled = (other.parts[i]?.standardDeviation ?? 0) / unit
            expect(scaled).toBeCloseTo(part.standardDeviation, 5)
            expect(part.interval[0]).toBeLessThanOrEqual(part.standardDeviation)
            expect(part.interval[1]).toBeGreaterThanOrEqual(part.standardDeviation)
          })
        },
      ),
      { numRuns: 60 },
    )
  })

  test('with one scan a loading, loading and scan are one part, which goes into the reload', () => {
    const { parts, used } = analysed(invented({ wafers: 2, operators: 1, reloads: 5, scans: 1 }, spread, 3))
    expect(parts.map(({ name }) => name)).toEqual(['loading', 'wafers', 'gauge'])
    expect(parts[0]?.df).toBe(8)
    expect(used.repeatability).toBeNull()
    expect(used.reload).toEqual({ value: parts[0]?.standardDeviation, df: 8 })
  })

  test('a single wafer read by two people: operators stand with what is particular to the wafer', () => {
    const { parts } = analysed(invented({ wafers: 1, operators: 2, reloads: 4, scans: 2 }, spread, 3))
    expect(parts.map(({ name }) => name)).toEqual(['repeatability', 'reload', 'operators', 'gauge'])
  })

  test('no wafer loaded twice is a problem that says what to do', () => {
    const answer = analyseGaugeStudy([{ wafer: 'A', operator: '', reload: '1', value: 1500 }])
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'noReload' }] })
  })

  test('a wafer that one operator has not read counts for the scans alone, and is named', () => {
    const readings = invented({ wafers: 4, operators: 2, reloads: 2, scans: 2 }, spread, 5).filter(
      ({ wafer, operator }) => wafer !== 'W3' || operator !== 'O1',
    )
    const result = analysed(readings)
    expect(result.meanSquares.map(({ source, df }) => [source, df])).toEqual([
      ['wafers', 2],
      ['operators', 1],
      ['waferOperator', 2],
      ['loadings', 7],
      ['scans', 14],
    ])
    expect(result.problems.find(({ code }) => code === 'incomplete')?.message).toMatch(/^W3:/)
  })

  test('says its share of the tolerance in a sentence, and that copied numbers are no study', () => {
    const readings = invented({ wafers: 2, operators: 1, reloads: 5, scans: 2 }, spread, 8)
    const words = studyWords(analysed(readings, { tolerance: 30 }), (value) => `${value.toFixed(1)} nm`)
    expect(words[0]).toMatch(/^This gauge takes \d+\s% \([\d.]+–\d+\s%\) of your tolerance/)
    const same = readings.map((reading) => ({ ...reading, value: 1500 }))
    expect(studyWords(analysed(same, { tolerance: 30 }), String).join(' ')).toContain('numbers were copied')
  })

  test('asks about a loading of the wrong wafer, and about none of an honest study', () => {
    const size = { wafers: 3, operators: 1, reloads: 4, scans: 2 }
    const odd = (readings: StudyReading[]) =>
      analysed(readings).problems.filter(({ code }) => code === 'oddLoading')
    const asked = Array.from({ length: 400 }, (_, seed) => odd(invented(size, spread, seed)).length > 0)
    expect(asked.filter(Boolean).length).toBeLessThan(40)
    const swapped = invented(size, spread, 1).map((reading) =>
      reading.wafer === 'W1' && reading.reload === '2' ? { ...reading, value: reading.value + 25 } : reading,
    )
    expect(odd(swapped).map(({ message }) => message.slice(0, 13))).toEqual(['W1, loading 2'])
  })

  test('reach: the ten-minute study and the large one', () => {
    expect(studyReach({ wafers: 2, operators: 1, reloads: 5, scans: 1 }).parts).toMatchObject([
      { name: 'loading', df: 8 },
      { name: 'wafers', df: 1 },
    ])
    expect(studyReach({ wafers: 10, operators: 2, reloads: 3, scans: 2 }).parts.map(({ df }) => df)).toEqual([
      60, 40, 1, 9,
    ])
  })

  test('the order holds every loading once, and no wafer twice in a row within a round', () => {
    const study = { wafers: ['A', 'B', 'C'], operators: ['X', 'Y'], reloads: 4, seed: 11 }
    const order = loadingOrder(study)
    expect(new Set(order.map((one) => JSON.stringify(one))).size).toBe(24)
    for (let i = 0; i < order.length; i += 3)
      expect(new Set(order.slice(i, i + 3).map(({ wafer }) => wafer)).size).toBe(3)
    expect(loadingOrder(study)).toEqual(order)
  })
})

describe('two gauges on the same wafers', () => {
  const wafers = ['a', 'b', 'c', 'd', 'e']
  const first = wafers.map((wafer, i) => ({ wafer, value: 1000 + 200 * i }))

  test('paired differences, their interval and how they go with the thickness, against R (published/gauge/gauge-study.R)', () => {
    const second = [1003.1, 1204.4, 1404.2, 1605.9, 1806.1].map((value, i) => ({
      wafer: wafers[i]?.toUpperCase() ?? '',
      value,
    }))
    const answer = gaugeBias(first, second)
    if (!answer.ok) throw new Error('no bias')
    const { difference, interval, p, slope } = answer.value
    expect(difference).toBeCloseTo(4.74, 10)
    expect(interval[0]).toBeCloseTo(3.18271374532, 9)
    expect(interval[1]).toBeCloseTo(6.29728625468, 9)
    expect(p).toBeCloseTo(0.0010741477503, 9)
    expect(slope?.value).toBeCloseTo(0.00374381098626, 11)
    expect(slope?.interval[0]).toBeCloseTo(0.00138003607353, 11)
    expect(slope?.interval[1]).toBeCloseTo(0.006107585899, 11)
    const words = biasWords(answer.value, { first: 'A', second: 'B' }, (value) => `${value.toFixed(1)} nm`)
    expect(words[0]).toMatch(/^B reads 4.7 nm more than A on 5 wafers/)
    expect(words[1]).toMatch(/goes with the thickness/)
  })

  test('one wafer in common tells nothing', () => {
    expect(gaugeBias(first, first.slice(0, 1))).toMatchObject({
      ok: false,
      problems: [{ code: 'tooFewPairs' }],
    })
  })
})

describe('readings that look mistyped', () => {
  const study = () =>
    ['A', 'B'].flatMap((wafer) =>
      [1, 2, 3].flatMap((reload) =>
        [0, 0.4].map((off) => ({
          wafer,
          operator: 'O',
          reload: String(reload),
          value: 1529 + off + reload / 5,
        })),
      ),
    )
  test('a lost decimal sign is asked about, and the result is not to be built on until then', () => {
    const clean = study()
    expect(oddReadings(clean)).toEqual([])
    expect(openQuestions(analysed(clean))).toEqual([])
    const slipped = clean.map((one, i) => (i === 3 ? { ...one, value: 15290 } : one))
    expect(oddReadings(slipped)).toMatchObject([{ index: 3, power: 1 }])
    const [question] = openQuestions(analysed(slipped, { tolerance: 15 }))
    expect(question?.message).toContain('A, loading 2: 15290 is about 10 times larger than its others')
  })

  test('by 100 and 1000 too, from the second reading on, and far off without a power of ten', () => {
    const two = (value: number) => [
      { wafer: 'A', value: 1529 },
      { wafer: 'B', value },
    ]
    for (const [value, power] of [
      [15.3, -2],
      [1.53, -3],
      [152900, 2],
    ] as const)
      expect(oddReadings(two(value))[1]).toMatchObject({ index: 1, power })
    expect(oddReadings(two(2100))).toEqual([])
    const swapped = study().map((one, i) => (i === 0 ? { ...one, value: 5129 } : one))
    expect(oddReadings(swapped)).toMatchObject([{ index: 0, power: null }])
  })

  test('degrees of freedom in words', () => {
    expect([1.4e-7, 1, 2.34, 24.6].map(degreesWords)).toEqual([
      'less than half a degree of freedom',
      '1 degree of freedom',
      '2.3 degrees of freedom',
      '25 degrees of freedom',
    ])
  })
})
