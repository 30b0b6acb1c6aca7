import { z } from 'zod'
import { scatterLevels } from '../choices.ts'
import { maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

export const scatterLevel = z.enum(scatterLevels)
export type ScatterLevel = z.infer<typeof scatterLevel>

/** Standard deviations are shares of the film. */
export const scatterComponent = z.object({
  level: scatterLevel,
  groups: number.int(),
  standardDeviation: number,
  /** 95 % interval of the standard deviation. */
  lower: number,
  upper: maybe,
  df: maybe,
  /** `gauge`: what the gauge's page says, since nothing was read twice. */
  source: z.enum(['readings', 'gauge']),
  /** Of the variance of the mean of one setting, as it is read now. */
  shareOfMean: number,
})
export type ScatterComponent = z.infer<typeof scatterComponent>

const counted = z.object({ level: scatterLevel, count: number.int() })

/** Where the scatter of a film comes from, by restricted maximum likelihood, on the log scale. */
export const scatter = z.object({
  readings: number.int(),
  wafers: number.int(),
  /** Mean of the readings, in their unit. */
  mean: number,
  /** What was taken away first: the means of equal settings, or what the named model says. */
  after: z.enum(['settings', 'model']),
  model: z.string().nullable(),
  components: z.array(scatterComponent),
  /** The mean of one setting as it is usually read: how many of each inside the one before, and its uncertainty. */
  now: z.object({ counts: z.array(counted), standardUncertainty: number }),
  /** The same with one more of one of them. */
  more: z.array(counted.extend({ standardUncertainty: number })),
  sentence: z.string(),
  problems: z.array(problem),
})
export type Scatter = z.infer<typeof scatter>
