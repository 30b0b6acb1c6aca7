import type { ControlChart, DriftSeries, LimitsFrom, TrendMeasure } from '../contract/results/drift.ts'
import type { Problem } from '../problem.ts'
import { type Change, changeAt } from './change.ts'
import { controlChart, leastPoints, stretchOfLimits } from './control-chart.ts'
import { changeWords, limitWords, trendWords } from './drift-words.ts'
import { falseAlarms } from './false-alarms.ts'
import type { DriftRule } from './rules.ts'
import { type Break, eventsByPlace, type Stretch, stretchesOf } from './stretches.ts'
import { changeBeyond, trendWithin } from './trend.ts'

/** How many further readings a false alarm is counted among. */
const watched = 24

export type SeriesOptions = {
  /** In the order of time; on the log scale more than 0. */
  values: readonly number[]
  scale: ControlChart['scale']
  limitsFrom: LimitsFrom
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
  const chart = controlChart({ values, scale, limitsFrom: options.limitsFrom, rules })
  const onScale = scale === 'log' ? values.map(Math.log) : values
  const share = (value: number) => (scale === 'log' ? Math.expm1(value) : value)
  const stretches = stretchesOf(values.length, breaks)
  const slope = trendWithin(along.x, onScale, stretches, level)
  const difference = ({
    change,
    lower,
    upper,
    df,
    p,
  }: Omit<Change, 'before' | 'after' | 'standardError'>) => ({
    estimate: share(change),
    interval: [share(lower), share(upper)] as [number, number],
    df,
    p,
  })
  const steady = slope && { ...difference({ ...slope, change: slope.slope }), along: along.measure }
  const changes = eventsByPlace(breaks).map((place, i) => {
    const [left, right] = [stretches[i], stretches[i + 1]] as [Stretch, Stretch]
    const before = onScale.slice(left.from, left.to)
    const after = onScale.slice(right.from, right.to)
    const found = changeAt(before, after, level)
    const beyond = slope && changeBeyond(along.x, onScale, [left, right], slope, level)
    const change = {
      reading: place.before + 1,
      events: place.words,
      before: before.length,
      after: after.length,
      change: found && difference(found),
      beyondTrend: beyond && difference(beyond),
    }
    return { ...change, words: changeWords(change, { scale, unit, trend: steady }) }
  })
  const chance = chart.limits && falseAlarms({ rules, points: chart.limits.points, among: watched })
  return {
    chart,
    rules: [...rules],
    falseAlarms: chance,
    changes,
    trend: steady && { ...steady, words: trendWords(steady, scale, { unit, events: changes.length > 0 }) },
    words: limitWords({ chart, falseAlarms: chance }),
    problems: problemsOf(values.length, options.limitsFrom, chart),
  }
}

function problemsOf(readings: number, limitsFrom: LimitsFrom, chart: ControlChart): Problem[] {
  if (chart.limits) return []
  const { start, end } = stretchOfLimits(readings, limitsFrom)
  const there = `there ${end - start === 1 ? 'is' : 'are'} ${end - start}`
  if (end - start < leastPoints)
    return [
      {
        code: 'tooFewReadings',
        message: `Limits need at least ${leastPoints} readings; ${there}${start > 0 ? ` from reading ${start + 1} on` : ''}.`,
      },
    ]
  return [
    { code: 'noLimits', message: 'The readings that set the limits are all equal, so there are no limits.' },
  ]
}
