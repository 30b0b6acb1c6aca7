import type { ControlChart, LimitsFrom } from '../contract/results/drift.ts'
import { alarmWords } from './drift-words.ts'
import { limitsOf } from './limits.ts'
import { alarmsOf, type DriftRule } from './rules.ts'
import { weightedAverage } from './weighted-average.ts'

/** With fewer readings no limits are shown. */
export const leastPoints = 5

/**
 * How many readings set the limits unless a person says: half of those there are, but at least 15 and at most 25 (15
 * to 25 is common practice, no source); all where there are fewer than 15.
 */
const usualPoints = (readings: number): number =>
  Math.min(readings, Math.max(15, Math.min(25, Math.floor(readings / 2))))

/** The readings that set the limits, as indices from `start` up to but without `end`. */
export function stretchOfLimits(readings: number, { from, to }: LimitsFrom): { start: number; end: number } {
  const start = Math.min(from - 1, readings)
  const end = to === null ? start + usualPoints(readings - start) : Math.min(to, readings)
  return { start, end: Math.max(start, end) }
}

/**
 * A chart of individual values with its moving ranges and weighted average. On the log scale all is reckoned with
 * natural logarithms, and values and limits are given back in the unit of the readings. Rules and average begin with
 * the readings that set the limits: what came before belongs to another state.
 *
 * @param options.values in the order of time; on the log scale more than 0
 * @param options.limitsFrom which readings set the limits
 */
export function controlChart(options: {
  values: readonly number[]
  scale: ControlChart['scale']
  limitsFrom: LimitsFrom
  rules: readonly DriftRule[]
}): ControlChart {
  const { values, scale, rules } = options
  const { start, end } = stretchOfLimits(values.length, options.limitsFrom)
  const onScale = scale === 'log' ? values.map(Math.log) : values
  const back = (value: number) => (scale === 'log' ? Math.exp(value) : value)
  const limits = end - start < leastPoints ? null : limitsOf(onScale.slice(start, end))
  const seen = onScale.slice(start)
  const averages = limits ? weightedAverage(seen, limits) : []
  return {
    scale,
    limits: limits && {
      ...limits,
      from: start + 1,
      to: end,
      centre: back(limits.centre),
      lower: back(limits.lower),
      upper: back(limits.upper),
    },
    readings: values.map((value, i) => {
      const average = averages[i - start]
      return {
        value,
        movingRange: i === 0 ? null : Math.abs((onScale[i] as number) - (onScale[i - 1] as number)),
        average: average
          ? { value: back(average.value), lower: back(average.lower), upper: back(average.upper) }
          : null,
      }
    }),
    alarms: limits
      ? alarmsOf(seen, limits, rules).map(({ index, rule, side }) => {
          const reading = start + index + 1
          return { reading, rule, side, words: alarmWords(reading, rule, side) }
        })
      : [],
  }
}
