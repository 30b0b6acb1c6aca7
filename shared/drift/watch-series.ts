import type { ControlChart, DriftSeries, TrendMeasure } from '../contract/results/drift.ts'
import type { Problem } from '../problem.ts'
import { changeAt } from './change.ts'
import { controlChart, leastPoints, usualPoints } from './control-chart.ts'
import { changeWords, limitWords, trendWords } from './drift-words.ts'
import { falseAlarms } from './false-alarms.ts'
import type { DriftRule } from './rules.ts'
import { type Break, eventsByPlace, stretchesOf } from './stretches.ts'
import { trendWithin } from './trend.ts'

/** How many further readings a false alarm is counted among. */
const watched = 24

export type SeriesOptions = {
  /** In the order of time; on the log scale more than 0. */
  values: readonly number[]
  scale: ControlChart['scale']
  /** How many of the first set the limits; null: as is usual. */
  points: number | null
  rules: readonly DriftRule[]
  breaks: readonly Break[]
  /** What a trend is measured along, by reading. */
  along: { measure: TrendMeasure; x: readonly number[] }
  /** Of the readings, for the words. */
  unit?: string
  level?: number
}

/** What a series of readings says: its chart, its rules, what changed at events, and whether it runs away steadily. */
export function watchSeries(options: SeriesOptions): DriftSeries {
  const { values, scale, rules, breaks, along, unit = '', level = 0.95 } = options
  const points = Math.min(values.length, options.points ?? usualPoints(values.length))
  const chart = controlChart({ values, scale, points, rules })
  const onScale = scale === 'log' ? values.map(Math.log) : values
  const share = (value: number) => (scale === 'log' ? Math.expm1(value) : value)
  const stretches = stretchesOf(values.length, breaks)
  const changes = eventsByPlace(breaks).map((place, i) => {
    const [left, right] = [stretches[i], stretches[i + 1]]
    const before = onScale.slice(left?.from, left?.to)
    const after = onScale.slice(right?.from, right?.to)
    const found = changeAt(before, after, level)
    const change = {
      reading: place.before + 1,
      events: place.words,
      before: before.length,
      after: after.length,
      change: found && {
        estimate: share(found.change),
        interval: [share(found.lower), share(found.upper)] as [number, number],
        df: found.df,
        p: found.p,
      },
    }
    return { ...change, words: changeWords(change, scale, unit) }
  })
  const slope = trendWithin(along.x, onScale, stretches, level)
  const steady = slope && {
    estimate: share(slope.slope),
    interval: [share(slope.lower), share(slope.upper)] as [number, number],
    df: slope.df,
    p: slope.p,
    along: along.measure,
  }
  const chance = chart.limits && falseAlarms({ rules, points: chart.limits.points, among: watched })
  return {
    chart,
    rules: [...rules],
    falseAlarms: chance,
    changes,
    trend: steady && { ...steady, words: trendWords(steady, scale, { unit, events: changes.length > 0 }) },
    words: limitWords({ chart, falseAlarms: chance }),
    problems: problemsOf(values.length, chart),
  }
}

function problemsOf(readings: number, chart: ControlChart): Problem[] {
  if (chart.limits) return []
  return [
    readings < leastPoints
      ? {
          code: 'tooFewReadings',
          message: `Limits need at least ${leastPoints} readings; there ${readings === 1 ? 'is' : 'are'} ${readings}.`,
        }
      : {
          code: 'noLimits',
          message: `The readings that set the limits are fewer than ${leastPoints}, or all equal, so there are no limits.`,
        },
  ]
}
