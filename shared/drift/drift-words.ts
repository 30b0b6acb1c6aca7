import { fixed, percent } from '../charts/format.ts'
import type { ControlChart, DriftSeries, TrendMeasure } from '../contract/results/drift.ts'
import { settledPoints } from './limits.ts'
import type { DriftRule } from './rules.ts'

/** The rules as a person chooses them. */
export const ruleWords: Record<DriftRule, string> = {
  'beyond three': 'one reading beyond three deviations',
  'two of three': 'two of three readings beyond two deviations',
  'four of five': 'four of five readings beyond one deviation',
  'eight on one side': 'eight readings in a row on one side',
  average: 'the weighted average beyond its limits',
}

/** What an event is called on the chart and in sentences. */
export const eventWords = (kind: string, text: string): string =>
  kind === 'other' && text !== '' ? text : kind

/** A rule broken, as a sentence. */
export function alarmWords(reading: number, rule: DriftRule, side: 'above' | 'below'): string {
  const where = side === 'above' ? 'above the centre' : 'below the centre'
  return `Reading ${reading}: ${ruleWords[rule]}, ${where}.`
}

const signed = (value: number, show: (size: number) => string) =>
  `${value < 0 ? '\u2212' : '+'}${show(Math.abs(value))}`

/** A difference in words: a share in percent, or in the unit of the readings. */
export function differenceWords(value: number, scale: ControlChart['scale'], unit = ''): string {
  if (scale === 'log') return signed(value, (size) => percent(size, size < 0.001 ? 3 : size < 0.1 ? 2 : 1))
  return signed(value, (size) => `${Number(size.toPrecision(3))}${unit === '' ? '' : ` ${unit}`}`)
}

const oneOf: Record<TrendMeasure, string> = { readings: 'a reading', days: 'a day', openings: 'an opening' }
const tenOf: Record<TrendMeasure, string> = {
  readings: 'ten readings',
  days: 'ten days',
  openings: 'ten openings',
}

/** A trend in words: what it comes to after ten, or that none can be told. */
export function trendWords(
  trend: { estimate: number; interval: readonly [number, number]; along: TrendMeasure },
  scale: ControlChart['scale'],
  { unit, events }: { unit: string; events: boolean },
): string {
  const { estimate, interval, along } = trend
  const say = (value: number) => differenceWords(value, scale, unit)
  const span = `${say(interval[0])} to ${say(interval[1])}`
  const levels = events ? ', with a level of its own after each event' : ''
  if (interval[0] <= 0 && interval[1] >= 0)
    return `No steady trend can be told: ${span} ${oneOf[along]}${levels}.`
  const after = scale === 'log' ? Math.expm1(10 * Math.log1p(estimate)) : 10 * estimate
  return (
    `A steady trend of ${say(estimate)} ${oneOf[along]} (${span})${levels}: ` +
    `${say(after)} after ${tenOf[along]}.` +
    (events ? ' The changes at events compare means, so the trend is part of them.' : '')
  )
}

/** A change at an event in words. */
export function changeWords(
  {
    events,
    before,
    after,
    change,
  }: Pick<DriftSeries['changes'][number], 'events' | 'before' | 'after' | 'change'>,
  scale: ControlChart['scale'],
  unit = '',
): string {
  const named = events.join(' and ')
  if (!change)
    return `${named}: ${after === 0 ? 'no reading since' : before === 0 ? 'no reading before it' : 'too few readings on either side'}, so no change can be told.`
  const [low, high] = change.interval
  const say = (value: number) => differenceWords(value, scale, unit)
  const told = low > 0 || high < 0 ? '' : ', which may as well be none'
  return (
    `${named}: ${say(change.estimate)} (${say(low)} to ${say(high)}) from the mean of ${readings(before)} before it ` +
    `to that of ${after} after it${told}.`
  )
}

const readings = (n: number) => `${n} ${n === 1 ? 'reading' : 'readings'}`

/** What the limits are worth, and how often they alarm for nothing. */
export function limitWords({ chart, falseAlarms }: Pick<DriftSeries, 'chart' | 'falseAlarms'>): string[] {
  const { limits, alarms } = chart
  if (!limits) return []
  const unsteady = alarms.some(({ reading }) => reading <= limits.points)
  return [
    `Limits from the first ${readings(limits.points)}, by how far neighbours differ` +
      `${limits.provisional ? `: provisional, as with any fewer than ${settledPoints}.` : '.'}`,
    ...(unsteady
      ? [
          'A rule is broken among the readings that set the limits, so these were not steady. Choose fewer, or look for the cause.',
        ]
      : []),
    ...(falseAlarms
      ? [
          `Where nothing has changed, these rules with limits from ${readings(limits.points)} alarm within the next ` +
            `${falseAlarms.among} readings with a chance of ${fixed(100 * falseAlarms.chance, 0)} %.`,
        ]
      : []),
  ]
}
