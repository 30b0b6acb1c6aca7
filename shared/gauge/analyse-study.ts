import type { GaugePart, GaugeResult } from '../contract/results/gauge.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { enoughReadings } from './enough-readings.ts'
import { partWords, usualShares } from './gauge-words.ts'
import { type StudyMeanSquares, type StudyReading, studyMeanSquares } from './mean-squares.ts'
import { oddLoadings } from './odd-loadings.ts'
import { oddReadings, oddReadingWords } from './odd-readings.ts'
import { type MeanSquare, type Term, varianceEstimate } from './variance-interval.ts'

/** Wafers from which classes of wafers are counted (common practice, no source). */
const leastWafers = 5
/** Operators from which the upper limit of how they differ is of use: with 3 degrees of freedom it is 3.7 times. */
const leastOperators = 4

/**
 * Variance components of a gauge study by the analysis of variance, unweighted where readings are missing; a negative
 * one stands as zero and says so. Its numbers are in the unit of the readings.
 *
 * @param options.tolerance ±, in the unit of the readings
 * @param options.wanted a further share of the tolerance to find the number of readings for
 * @returns a problem where no wafer was loaded twice by the same operator
 */
export function analyseGaugeStudy(
  readings: readonly StudyReading[],
  options: { tolerance?: number | null; wanted?: number | null; level?: number } = {},
): Answer<GaugeResult> {
  const { tolerance = null, wanted = null, level = 0.95 } = options
  const found = studyMeanSquares(readings)
  if (!found.ok) return found
  const squares = found.value
  if (!squares.ofLoadings)
    return refuse(
      'noReload',
      'No wafer has been loaded twice by the same operator yet, so how loadings differ cannot be told. Load one of them again and read it.',
    )
  const terms = termsOf(squares, squares.ofLoadings)
  const parts = Object.entries(terms.parts).map(([name, own]): GaugePart => {
    const { estimate, df, interval, method } = varianceEstimate(own, level)
    return {
      name: name as GaugePart['name'],
      standardDeviation: Math.sqrt(Math.max(0, estimate)),
      df,
      interval: [Math.sqrt(interval[0]), Math.sqrt(interval[1])],
      method,
      negative: estimate < 0,
    }
  })
  const gauge = gaugeOf(parts, varianceEstimate(terms.gauge, level))
  parts.push(gauge)
  const share = tolerance === null ? null : shareOf(gauge, tolerance)
  return good({
    n: readings.length,
    mean: squares.mean,
    wafers: squares.wafers.length,
    operators: squares.operators.length,
    loadings: squares.loadings,
    level,
    parts,
    meanSquares: classical(squares),
    share,
    categories: squares.wafers.length - squares.incomplete.length < leastWafers ? null : categoriesOf(parts),
    enough:
      tolerance === null
        ? []
        : [...new Set([...Object.values(usualShares), ...(wanted === null ? [] : [wanted])])]
            .sort((a, b) => a - b)
            .map((each) => ({ share: each, least: enoughReadings(parts, each * tolerance) })),
    used: usedOf(parts, terms.reload, level),
    problems: [
      ...mistyped(readings, squares.operators.length),
      ...oddOnes(readings, squares.operators.length),
      ...cautionsOf(squares, parts),
    ],
  })
}

type PartTerms = Partial<Record<GaugePart['name'], Term[]>>

/** Each variance as a sum of mean squares; the expectations stand in mean-squares.ts. */
function termsOf(squares: StudyMeanSquares, ofLoadings: MeanSquare) {
  const { scans, waferOperator, ofOperators, ofWafers, a, b, c } = squares
  const [W, O] = [squares.wafers.length - squares.incomplete.length, squares.operators.length]
  const term = (coefficient: number, square: MeanSquare | null): Term[] =>
    square ? [{ square, coefficient }] : []
  const less = (terms: Term[], by = 1) => terms.map((one) => ({ ...one, coefficient: -by * one.coefficient }))
  // What a mean of a cell holds of its loadings and scans.
  const inCell = [...term(b, ofLoadings), ...term(tidy(c - a * b), scans)]
  const between = waferOperator ? term(1, waferOperator) : inCell
  const parts: PartTerms = {
    ...(scans
      ? { repeatability: term(1, scans), reload: [...term(1, ofLoadings), ...term(-a, scans)] }
      : { loading: term(1, ofLoadings) }),
    ...(ofOperators
      ? { operators: [...term(1, ofOperators), ...less(between, waferOperator ? 1 / W : 1)] }
      : {}),
    ...(waferOperator ? { waferOperator: [...term(1, waferOperator), ...less(inCell)] } : {}),
    ...(ofWafers ? { wafers: [...term(1, ofWafers), ...less(between, waferOperator ? 1 / O : 1)] } : {}),
  }
  const { wafers: _, repeatability = [], ...rest } = parts
  const reload = added(Object.values(rest).flat())
  return { parts, reload, gauge: added([...repeatability, ...reload]) }
}

/** Terms in the same mean square as one. */
function added(terms: readonly Term[]): Term[] {
  const sums = new Map<MeanSquare, number>()
  for (const { square, coefficient } of terms) sums.set(square, tidy((sums.get(square) ?? 0) + coefficient))
  return [...sums].map(([square, coefficient]) => ({ square, coefficient }))
}

/** Coefficients that cancel but for rounding are none. */
const tidy = (coefficient: number) => (Math.abs(coefficient) < 1e-12 ? 0 : coefficient)

/** The parts of the gauge together: their sum as it is shown, within the interval of the unshortened sum. */
function gaugeOf(parts: readonly GaugePart[], sum: ReturnType<typeof varianceEstimate>): GaugePart {
  const standardDeviation = Math.hypot(
    ...parts.filter(({ name }) => name !== 'wafers').map((part) => part.standardDeviation),
  )
  return {
    name: 'gauge',
    standardDeviation,
    df: sum.df,
    interval: [
      Math.min(standardDeviation, Math.sqrt(sum.interval[0])),
      Math.max(standardDeviation, Math.sqrt(sum.interval[1])),
    ],
    method: sum.method,
    negative: false,
  }
}

/** Six standard deviations over the width of the tolerance. */
function shareOf({ standardDeviation, interval }: GaugePart, tolerance: number) {
  const of = (deviation: number) => (6 * deviation) / (2 * tolerance)
  return { tolerance, share: of(standardDeviation), interval: interval.map(of) as [number, number] }
}

/**
 * Classes of wafers: √2 times the wafers' standard deviation over that of the gauge, cut to a whole number. Its limits
 * put those of both together, which covers at least what two intervals do (Bonferroni).
 */
function categoriesOf(parts: readonly GaugePart[]): GaugeResult['categories'] {
  const wafers = parts.find(({ name }) => name === 'wafers')
  const gauge = parts.find(({ name }) => name === 'gauge')
  if (!wafers?.df || !gauge || wafers.negative || gauge.interval[0] === 0) return null
  const of = (spread: number, noise: number) => (Math.SQRT2 * spread) / noise
  return {
    number: Math.max(1, Math.floor(of(wafers.standardDeviation, gauge.standardDeviation))),
    interval: [of(wafers.interval[0], gauge.interval[1]), of(wafers.interval[1], gauge.interval[0])],
  }
}

/** Repeatability by itself where it can be told; all else that is common to the sites of a wafer as the reload. */
function usedOf(parts: readonly GaugePart[], reload: Term[], level: number): GaugeResult['used'] {
  const repeatability = parts.find(({ name }) => name === 'repeatability')
  const common = parts.filter(({ name }) => !['repeatability', 'wafers', 'gauge'].includes(name))
  return {
    repeatability: repeatability ? { value: repeatability.standardDeviation, df: repeatability.df } : null,
    reload: {
      value: Math.hypot(...common.map(({ standardDeviation }) => standardDeviation)),
      df: varianceEstimate(reload, level).df,
    },
  }
}

/** The mean squares as an analysis of variance of single readings has them. */
function classical(squares: StudyMeanSquares): GaugeResult['meanSquares'] {
  const { a, c } = squares
  const [W, O] = [squares.wafers.length - squares.incomplete.length, squares.operators.length]
  const rows = [
    { source: 'wafers', square: squares.ofWafers, times: O / c },
    { source: 'operators', square: squares.ofOperators, times: W / c },
    { source: 'waferOperator', square: squares.waferOperator, times: 1 / c },
    { source: 'loadings', square: squares.ofLoadings, times: 1 / a },
    { source: 'scans', square: squares.scans, times: 1 },
  ] as const
  return rows.flatMap(({ source, square, times }) =>
    square ? [{ source, df: square.df, meanSquare: square.value * times }] : [],
  )
}

/** Readings that look mistyped. */
function mistyped(readings: readonly StudyReading[], people: number): Problem[] {
  return oddReadings(readings).map((odd) => {
    const { wafer, operator, reload, value } = readings[odd.index] as StudyReading
    const shown = (length: number) => String(Number(length.toPrecision(4)))
    return {
      code: 'oddReading',
      message: `${wafer}${people > 1 ? ` (${operator})` : ''}, loading ${reload}: ${value} ${oddReadingWords(odd, shown)}`,
    }
  })
}

/** Loadings to look at before anything is believed. */
function oddOnes(readings: readonly StudyReading[], people: number): Problem[] {
  return oddLoadings(readings).map(({ wafer, operator, reload }) => ({
    code: 'oddLoading',
    message: `${wafer}${people > 1 ? ` (${operator})` : ''}, loading ${reload}, lies far from its other loadings. Was it the right wafer at the right site, and are the numbers typed right? If not, read it again.`,
  }))
}

/** What the study cannot tell, or tells only roughly. */
function cautionsOf(squares: StudyMeanSquares, parts: readonly GaugePart[]): Problem[] {
  const { incomplete } = squares
  const negative = parts.filter((part) => part.negative).map(({ name }) => partWords[name])
  return [
    ...(negative.length > 0
      ? [
          {
            code: 'negativeVariance',
            message: `${sentence(negative.join(' and '))}: the analysis of variance gives less than nothing, which stands as zero. The upper limit says how large it may be.`,
          },
        ]
      : []),
    ...(incomplete.length > 0
      ? [
          {
            code: 'incomplete',
            message: `${incomplete.join(', ')}: not read by every operator, so it does not count between wafers and operators.`,
          },
        ]
      : []),
    ...(squares.ofOperators && squares.ofOperators.df < leastOperators - 1
      ? [
          {
            code: 'fewOperators',
            message: `${squares.operators.length} operators say little of how operators differ, which makes the upper limits large; it takes ${leastOperators} or more to know.`,
          },
        ]
      : []),
    ...(squares.wafers.length - incomplete.length < leastWafers
      ? [
          {
            code: 'fewWafers',
            message: `How many classes of wafers the gauge tells apart is not said: it takes at least ${leastWafers} wafers that span what is coated.`,
          },
        ]
      : []),
  ]
}

const sentence = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)
