import { z } from 'zod'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

/** Positions and lengths along the trace in µm, heights in nm. */
export const stepHeight = z.object({
  /** Type A1 of ISO 5436-1 covers groove and ridge; a single edge is evaluated in the same manner. */
  kind: z.enum(['groove', 'ridge', 'edge']),
  /** Positive for a ridge, and for an edge that rises with position. */
  step: number,
  /** Of the three parts below together; the calibration of the instrument is not in it. */
  standardUncertainty: number,
  uncertainty: z.object({
    residuals: number,
    /** Of the choice of regions; null where the trace is too short for another. */
    regions: maybe,
    /** Of the bow that straight lines leave in; 0 where it was taken out. */
    form: number,
  }),
  /** nm/µm, at `level.at`. */
  slope: number,
  /** nm/µm², where a common parabola was taken out. */
  bow: maybe,
  /** The step as it would be with a common parabola taken out; null where it was. */
  stepWithBow: maybe,
  residualStandardDeviation: number,
  /** Of groove or ridge, or of the transition of an edge. */
  width: number,
  edges: interval,
  regions: z.object({ left: interval, middle: interval.nullable(), right: interval }),
  /** The level outside the step, left of an edge: its height at a position. */
  level: z.object({ at: number, height: number }),
  points: z.object({
    used: number.int(),
    /** Spikes and debris within the regions. */
    leftOut: number.int(),
    /** How many independent points the used ones are worth. */
    effective: number,
  }),
  warnings: z.array(problem),
})
export type StepHeight = z.infer<typeof stepHeight>

/** The mean of several scans of one step, nm. */
export const meanStep = z.object({
  n: number.int(),
  step: number,
  /** Of the scans; null with one. */
  standardDeviation: maybe,
  standardUncertainty: number,
  uncertainty: z.object({ scatter: number, regions: number, form: number }),
})
export type MeanStep = z.infer<typeof meanStep>
