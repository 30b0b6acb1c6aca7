import { z } from 'zod'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

/** A standard deviation with its degrees of freedom and interval, in the unit of the readings. */
export const gaugePart = z.object({
  name: z.enum([
    /** Scan to scan at one loading. */
    'repeatability',
    /** Loading to loading of one wafer. */
    'reload',
    /** Both together, where every loading was scanned once. */
    'loading',
    'operators',
    /** How operators differ more on some wafers than on others. */
    'waferOperator',
    'wafers',
    /** All of the gauge: every part but the wafers. */
    'gauge',
  ]),
  standardDeviation: number,
  /** Those of the one mean square that it rests on, or Satterthwaite's; null where the variance comes out as zero. */
  df: maybe,
  interval,
  method: z.enum(['chiSquare', 'modifiedLargeSample']),
  /** The analysis of variance gave a negative variance, which stands as zero. */
  negative: z.boolean(),
})
export type GaugePart = z.infer<typeof gaugePart>

/** A number for the gauge, in the unit of the readings, or as a share of the thickness. */
export const gaugeNumber = z.object({ value: number, df: maybe })
export type GaugeNumber = z.infer<typeof gaugeNumber>

export const gaugeShare = z.object({
  /** ± in the unit of the readings. */
  tolerance: number,
  /** Six standard deviations of the gauge over the width of the tolerance. */
  share: number,
  interval,
})

export const gaugeResult = z.object({
  n: number.int(),
  mean: number,
  wafers: number.int(),
  operators: number.int(),
  /** In how many loadings. */
  loadings: number.int(),
  level: number,
  parts: z.array(gaugePart),
  meanSquares: z.array(
    z.object({
      source: z.enum(['wafers', 'operators', 'waferOperator', 'loadings', 'scans']),
      df: number.int(),
      meanSquare: number,
    }),
  ),
  share: gaugeShare.nullable(),
  /** How many classes of wafers the gauge tells apart; null where it cannot be told. */
  categories: z.object({ number: number.int(), interval }).nullable(),
  /** By wanted share of the tolerance: how often to load and to scan for a mean; null where no number does it. */
  enough: z.array(
    z.object({
      share: number,
      least: z.object({ reloads: number.int(), scans: number.int() }).nullable(),
    }),
  ),
  /** What goes into the gauge once a person confirms it. */
  used: z.object({ repeatability: gaugeNumber.nullable(), reload: gaugeNumber }),
  problems: z.array(problem),
})
export type GaugeResult = z.infer<typeof gaugeResult>

/** How well a study of a size would know each part: by which factors a standard deviation lies about its estimate. */
export const gaugeReach = z.object({
  readings: number.int(),
  parts: z.array(
    z.object({
      name: z.enum(['repeatability', 'reload', 'loading', 'operators', 'wafers']),
      df: number.int(),
      factors: interval,
    }),
  ),
})
export type GaugeReach = z.infer<typeof gaugeReach>

export const gaugeBias = z.object({
  /** Wafers that both gauges read, with the mean of each, in the unit of the readings. */
  pairs: z.array(z.object({ wafer: z.string(), first: number, second: number })),
  /** Mean of second − first. */
  difference: number,
  standardDeviation: number,
  df: number.int(),
  interval,
  p: number,
  /** By how much the difference changes per unit of thickness; null where the wafers cannot tell. */
  slope: z.object({ value: number, interval, p: number }).nullable(),
})
export type GaugeBias = z.infer<typeof gaugeBias>

/**
 * The zone rules, a day whose readings scatter more than those of the others, and one that lies farther from the nominal
 * than its uncertainty and the scatter of days explain.
 */
export const checkAlarms = [
  'beyond three',
  'two of three',
  'four of five',
  'eight on one side',
  'scatter',
  'off nominal',
] as const

export const checkLogResult = z.object({
  days: z.array(
    z.object({
      day: z.string(),
      n: number.int(),
      mean: number,
      /** Within the day; null of a single reading. */
      standardDeviation: maybe,
      /** From the centre of the limits, which lie at three. */
      z: maybe,
      alarms: z.array(z.enum(checkAlarms)),
    }),
  ),
  n: number.int(),
  mean: number,
  nominal: number,
  /** Mean − nominal, its standard uncertainty with that of the nominal, and its interval. */
  bias: z.object({ value: number, standardUncertainty: maybe, df: maybe, interval: interval.nullable() }),
  /** Within days, and of the means of the days. */
  shortTerm: gaugeNumber.extend({ interval }).nullable(),
  longTerm: gaugeNumber.extend({ interval }).nullable(),
  /** The limits, and from how many of the first days they come; null with too few days. */
  limits: z
    .object({
      centre: number,
      low: number,
      high: number,
      days: number.int(),
    })
    .nullable(),
  /** Change per day; null with fewer than four days. */
  drift: z.object({ perDay: number, interval, p: number }).nullable(),
  /** Standard uncertainty of the calibration as a share of the thickness; null until it can be told. */
  calibration: gaugeNumber.nullable(),
  problems: z.array(problem),
})
export type CheckLogResult = z.infer<typeof checkLogResult>
