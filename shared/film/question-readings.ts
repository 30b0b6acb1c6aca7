import type { Study } from '../contract/things.ts'
import type { Gauge } from '../contract/tools.ts'
import {
  causesOf,
  type Explanation,
  type SiteExpectation,
  slipBy,
  slipPower,
  type TypedReading,
} from './doubt-causes.ts'
import { siteDoubts } from './site-doubt.ts'
import { beyondEdge, radiusOf, type Substrate } from './substrate.ts'

/** What a run is expected to read, nm: by a fit, with its 95 % prediction interval, or by the study's target. */
export type RunExpectation = {
  nm: number
  interval: readonly [number, number] | null
  from: 'fit' | 'target'
}

/** What a run is expected to read: by its fit where that says anything, else by the study's target. */
export function expectationOf(
  { targetNm }: Pick<Study, 'targetNm'>,
  fit: Pick<RunExpectation, 'nm' | 'interval'> | null,
): RunExpectation | null {
  if (fit) return { nm: fit.nm, interval: fit.interval, from: 'fit' }
  return targetNm === null ? null : { nm: targetNm, interval: null, from: 'target' }
}

/** Readings that are far from what is expected. They stand as typed: this is asked, nothing is done. */
export type Question = {
  /** Places in the list of readings. */
  readings: number[]
  comparedWith: 'other sites' | 'fit' | 'target' | 'gauge' | 'edge exclusion'
  expectedNm: number | null
  /** The likeliest first. */
  causes: Explanation[]
}

export type QuestionInput = {
  /** Thickness readings of one run that are in force and not left out, all above zero. */
  readings: readonly TypedReading[]
  expectation: RunExpectation | null
  gauge: Pick<Gauge, 'kind' | 'repeatability' | 'rangeLow' | 'rangeHigh' | 'fringeStep'> | null
} & Substrate

/** A run is asked about where it lies this far from its fit: widths of the interval, and share of the film at least. */
const levelWidths = 2
const levelShare = 0.05
/** Without anything expected, so many readings show by their middle which of them has slipped by a power of ten. */
const enoughForMiddle = 3

/**
 * Compares the readings of a run with each other (a robust fit of the shape), with what is expected of the run and with
 * the gauge's range. Each reading is asked about at most once, for the greatest mistake first: a slip of the unit,
 * a place beyond the edge exclusion, a site that the others contradict, the gauge's range, the level of the whole run.
 */
export function questionReadings(input: QuestionInput): Question[] {
  const { readings, gauge } = input
  const questions: Question[] = []
  let open = readings.map((_, i) => i)
  const ask = (found: Question[]) => {
    questions.push(...found)
    const asked = new Set(found.flatMap((question) => question.readings))
    open = open.filter((i) => !asked.has(i))
  }
  ask(unitSlips(input, open))
  ask(withinExclusion(input, open))
  ask(offTheOthers(input, open))
  ask(outOfRange(readings, gauge, open))
  ask(offTheFit(input, open))
  return questions
}

const valuesAt = (readings: readonly TypedReading[], at: readonly number[]) =>
  at.map((i) => (readings[i] as TypedReading).valueNm)

/** Readings a power of ten off, those off by the same power together. */
function unitSlips({ readings, expectation }: QuestionInput, open: number[]): Question[] {
  const nm = expectation?.nm ?? (open.length >= enoughForMiddle ? middle(valuesAt(readings, open)) : null)
  if (nm === null) return []
  const byPower = new Map<number, number[]>()
  for (const i of open) {
    const power = slipPower((readings[i] as TypedReading).valueNm, nm)
    if (power !== null) byPower.set(power, [...(byPower.get(power) ?? []), i])
  }
  const slipped = new Set([...byPower.values()].flat())
  const others = open.filter((i) => !slipped.has(i))
  return [...byPower].map(([power, group]) => {
    const bySites = others.length >= enoughForMiddle
    return {
      readings: group,
      comparedWith: bySites ? 'other sites' : (expectation?.from ?? 'other sites'),
      expectedNm: bySites ? middle(valuesAt(readings, others)) : nm,
      causes: [slipBy(readings[group[0] as number] as TypedReading, power)],
    }
  })
}

function withinExclusion(input: QuestionInput, open: number[]): Question[] {
  return open
    .filter((i) => {
      const { x, y } = input.readings[i] as TypedReading
      return x !== null && y !== null && beyondEdge(input, { x, y }) !== null
    })
    .map((i) => ({
      readings: [i],
      comparedWith: 'edge exclusion',
      expectedNm: null,
      causes: [{ cause: 'edgeBead' }],
    }))
}

function offTheOthers(input: QuestionInput, open: number[]): Question[] {
  const { readings, gauge } = input
  const placed = open.map((i) => {
    const { x, y, valueNm } = readings[i] as TypedReading
    return { x, y, value: valueNm }
  })
  const level = placed.length > 0 ? middle(placed.map(({ value }) => value)) : 1
  const doubts = siteDoubts(placed, {
    radiusMm: radiusOf(input),
    scatter: (gauge?.repeatability ?? 0) / level,
  })
  return open.flatMap((i, k): Question[] => {
    const doubt = doubts[k]
    if (!doubt?.doubtful) return []
    const reading = readings[i] as TypedReading
    const sd = Math.abs(Math.log(reading.valueNm / doubt.expected) / doubt.deviations)
    return [
      {
        readings: [i],
        comparedWith: 'other sites',
        expectedNm: doubt.expected,
        causes: causesOf(reading, { nm: doubt.expected, sd }, toolsOf(input)),
      },
    ]
  })
}

function outOfRange(
  readings: readonly TypedReading[],
  gauge: QuestionInput['gauge'],
  open: number[],
): Question[] {
  if (!gauge) return []
  const outside = open.filter((i) => {
    const { valueNm } = readings[i] as TypedReading
    return valueNm < (gauge.rangeLow ?? 0) || valueNm > (gauge.rangeHigh ?? Number.POSITIVE_INFINITY)
  })
  if (outside.length === 0) return []
  return [{ readings: outside, comparedWith: 'gauge', expectedNm: null, causes: [{ cause: 'gaugeRange' }] }]
}

/** The level of the run against its fit. A target says nothing here: a plan goes away from it on purpose. */
function offTheFit(input: QuestionInput, open: number[]): Question[] {
  const { readings, expectation } = input
  if (expectation?.from !== 'fit' || expectation.interval === null || open.length === 0) return []
  const [low, high] = expectation.interval
  if (!(low > 0)) return []
  const width = Math.log(high / low) / 2
  const off = Math.abs(Math.log(middle(valuesAt(readings, open)) / expectation.nm))
  if (off <= Math.max(levelWidths * width, levelShare)) return []
  const expected: SiteExpectation = { nm: expectation.nm, sd: width / 2 }
  const single =
    open.length === 1 ? causesOf(readings[open[0] as number] as TypedReading, expected, toolsOf(input)) : []
  // A first site that is low or high by itself is the level of the run as well.
  const causes = single.filter(({ cause }) => cause === 'digitSwap' || cause === 'fringeOrder')
  return [
    {
      readings: open,
      comparedWith: 'fit',
      expectedNm: expectation.nm,
      causes: [...causes, { cause: 'level' }],
    },
  ]
}

const toolsOf = (input: QuestionInput) => ({
  outline: input,
  optical: input.gauge?.kind !== 'profilometer',
  fringeStep: input.gauge?.fringeStep ?? null,
})

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const half = sorted.length / 2
  return sorted.length % 2 === 1
    ? (sorted[Math.floor(half)] as number)
    : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2
}
