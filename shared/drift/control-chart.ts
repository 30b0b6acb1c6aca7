import type { ControlChart } from '../contract/results/drift.ts'
import { alarmWords } from './drift-words.ts'
import { limitsOf } from './limits.ts'
import { alarmsOf, type DriftRule } from './rules.ts'
import { weightedAverage } from './weighted-average.ts'

/** With fewer readings no limits are shown. */
export const leastPoints = 5

/**
 * How many of the first readings set the limits unless a person says: half of them, but at least 15 and at most 25 (15
 * to 25 is common practice, no source); all where there are fewer than 15.
 */
export const usualPoints = (readings: number): number =>
  Math.min(readings, Math.max(15, Math.min(25, Math.floor(readings / 2))))

/**
 * A chart of individual values with its moving ranges and weighted average. On the log scale all is reckoned with
 * natural logarithms, and values and limits are given back in the unit of the readings.
 *
 * @param options.values in the order of time; on the log scale more than 0
 * @param options.points how many of the first set the limits
 */
export function controlChart(options: {
  values: readonly number[]
  scale: ControlChart['scale']
  points: number
  rules: readonly DriftRule[]
}): ControlChart {
  const { values, scale, points, rules } = options
  const onScale = scale === 'log' ? values.map(Math.log) : values
  const back = (value: number) => (scale === 'log' ? Math.exp(value) : value)
  const limits = points < leastPoints ? null : limitsOf(onScale.slice(0, points))
  const averages = limits ? weightedAverage(onScale, limits) : []
  return {
    scale,
    limits: limits && {
      ...limits,
      centre: back(limits.centre),
      lower: back(limits.lower),
      upper: back(limits.upper),
    },
    readings: values.map((value, i) => {
      const average = averages[i]
      return {
        value,
        movingRange: i === 0 ? null : Math.abs((onScale[i] as number) - (onScale[i - 1] as number)),
        average: average
          ? { value: back(average.value), lower: back(average.lower), upper: back(average.upper) }
          : null,
      }
    }),
    alarms: limits
      ? alarmsOf(onScale, limits, rules).map(({ index, rule, side }) => ({
          reading: index + 1,
          rule,
          side,
          words: alarmWords(index + 1, rule, side),
        }))
      : [],
  }
}
