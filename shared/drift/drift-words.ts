import { fixed, percent, plainNumber } from '../charts/format.ts'
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

/** What a broken rule may mean, and what to do first. */
export const ruleMeanings: Record<DriftRule, string> = {
  'beyond three':
    'One film far off: a reading error, a bad coat, or a sudden change. Read the wafer again, then make another.',
  'two of three':
    'A change of some size within the last sessions. Look for what was done to the tools before them.',
  'four of five': 'A small change that stays. Look for what was done to the tools or the resist before them.',
  'eight on one side':
    'The level has moved a little for good, or runs away slowly: an ageing resist, a plate that has shifted.',
  average: 'A small change that lasts or grows, too small to show in a single reading.',
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
  return signed(value, (size) => `${plainNumber(size, 3)}${unit === '' ? '' : ` ${unit}`}`)
}

const oneOf: Record<TrendMeasure, string> = { readings: 'a reading', days: 'a day', openings: 'an opening' }
const tenOf: Record<TrendMeasure, string> = {
  readings: 'ten readings',
  days: 'ten days',
  openings: 'ten openings',
}

/** Whether its interval leaves out zero. */
const told = ({ interval: [low, high] }: { interval: readonly [number, number] }) => low > 0 || high < 0

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
  if (!told(trend)) return `No steady trend can be told: ${span} ${oneOf[along]}${levels}.`
  const after = scale === 'log' ? Math.expm1(10 * Math.log1p(estimate)) : 10 * estimate
  return (
    `A steady trend of ${say(estimate)} ${oneOf[along]} (${span})${levels}: ` +
    `${say(after)} after ${tenOf[along]}.`
  )
}

/**
 * A change at an event in words: with the trend taken out where there is one to be told, as the means would have it in
 * them; else the difference of the means. The other is said after it.
 */
export function changeWords(
  found: Omit<DriftSeries['changes'][number], 'reading' | 'words'>,
  {
    scale,
    unit,
    trend,
  }: {
    scale: ControlChart['scale']
    unit: string
    trend: { interval: readonly [number, number]; along: TrendMeasure } | null
  },
): string {
  const { before, after, change, beyondTrend } = found
  const named = found.events.join(' and ')
  const say = (value: number) => differenceWords(value, scale, unit)
  const span = ({ estimate, interval: [low, high] }: NonNullable<typeof change>) =>
    `${say(estimate)} (${say(low)} to ${say(high)})`
  const perhaps = (one: NonNullable<typeof change>) => (told(one) ? '' : ', which may as well be none')
  const means = `from the mean of ${readings(before)} before it to that of ${after} after it`
  if (beyondTrend && trend && told(trend))
    return (
      `${named}: ${span(beyondTrend)} beyond the steady trend${trend.along === 'openings' ? ', at equal openings' : ''}, by ` +
      `${readings(before)} before it and ${after} after it${perhaps(beyondTrend)}.` +
      (change ? ` With the trend left in, the means differ by ${span(change)}.` : '')
    )
  if (!change)
    return `${named}: ${after === 0 ? 'no reading since' : before === 0 ? 'no reading before it' : 'too few readings on either side'}, so no change can be told.`
  return (
    `${named}: ${span(change)} ${means}${perhaps(change)}.` +
    (beyondTrend ? ` With a trend taken out, though none can be told, it would be ${span(beyondTrend)}.` : '')
  )
}

const readings = (n: number) => `${n} ${n === 1 ? 'reading' : 'readings'}`

/** What the limits are worth, and how often they alarm for nothing. */
export function limitWords({ chart, falseAlarms }: Pick<DriftSeries, 'chart' | 'falseAlarms'>): string[] {
  const { limits, alarms } = chart
  if (!limits) return []
  const unsteady = alarms.some(({ reading }) => reading <= limits.to)
  const which =
    limits.from === 1
      ? `the first ${readings(limits.points)}`
      : `the ${readings(limits.points)} ${limits.from} to ${limits.to}`
  return [
    `Limits from ${which}, by how far neighbours differ` +
      `${limits.provisional ? `: provisional, as with any fewer than ${settledPoints}.` : '.'}`,
    ...(unsteady
      ? [
          'A rule is broken among the readings that set the limits, so these were not steady. Choose others, or look for the cause.',
        ]
      : []),
    ...(falseAlarms
      ? [
          `Where nothing has changed, these rules with limits from ${readings(limits.points)} alarm within the next ` +
            `${falseAlarms.among} readings with a chance of ${fixed(100 * falseAlarms.chance, 0)} % ` +
            `(± ${fixed(Math.max(1, 200 * falseAlarms.standardError), 0)} % by simulation).`,
        ]
      : []),
  ]
}
