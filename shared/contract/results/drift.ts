import { z } from 'zod'
import { driftRules } from '../../drift/rules.ts'
import { trendMeasures } from '../choices.ts'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

export const driftRule = z.enum(driftRules)

export const trendMeasure = z.enum(trendMeasures)
export type TrendMeasure = z.infer<typeof trendMeasure>

/** A chart of individual values. On the log scale `sigma` and moving ranges are differences of natural logarithms. */
export const controlChart = z.object({
  scale: z.enum(['linear', 'log']),
  /** Null while too few readings set limits. */
  limits: z
    .object({
      centre: number,
      lower: number,
      upper: number,
      sigma: number,
      meanMovingRange: number,
      movingRangeUpper: number,
      /** The readings that set them, from 1; those before are not watched. */
      from: number.int(),
      to: number.int(),
      points: number.int(),
      provisional: z.boolean(),
    })
    .nullable(),
  readings: z.array(
    z.object({
      value: number,
      movingRange: maybe,
      /** The weighted average with its limits; null without limits. */
      average: z.object({ value: number, lower: number, upper: number }).nullable(),
    }),
  ),
  /** `reading` counts from 1. */
  alarms: z.array(
    z.object({ reading: number.int(), rule: driftRule, side: z.enum(['above', 'below']), words: z.string() }),
  ),
})

/** Which readings set the limits, counted from 1: from the first, or so many as is usual, where not said. */
export const limitsFrom = z.object({ from: number.int().min(1), to: number.int().min(1).nullable() })
export type LimitsFrom = z.infer<typeof limitsFrom>

/** How a recipe is watched: which readings set the limits, which rules are in force, and what a trend is measured along. */
export const driftChoice = z.object({ limitsFrom, rules: z.array(driftRule), along: trendMeasure })
export type DriftChoice = z.infer<typeof driftChoice>

export type ControlChart = z.infer<typeof controlChart>

/** A difference; on the log scale a share, as 0.024 for +2.4 %. */
const difference = z.object({ estimate: number, interval, df: number, p: number })

/** What one series of readings says. */
export const driftSeries = z.object({
  chart: controlChart,
  rules: z.array(driftRule),
  /** Among so many further readings, where nothing has changed. */
  falseAlarms: z.object({ chance: number, standardError: number, among: number.int() }).nullable(),
  /** At each event, between the readings since the event before it and up to the next. */
  changes: z.array(
    z.object({
      /** The first reading after it, from 1; one more than there are where none was taken since. */
      reading: number.int(),
      events: z.array(z.string()),
      before: number.int(),
      after: number.int(),
      /** Of the two means. */
      change: difference.nullable(),
      /** With the trend of all stretches taken out; null where none can be reckoned. */
      beyondTrend: difference.nullable(),
      words: z.string(),
    }),
  ),
  /** One slope in all stretches between events, each with a level of its own. */
  trend: difference.extend({ along: trendMeasure, words: z.string() }).nullable(),
  words: z.array(z.string()),
  problems: z.array(problem),
})
export type DriftSeries = z.infer<typeof driftSeries>
