import { z } from 'zod'
import {
  designSettings,
  factor,
  plateAtStart,
  readingTime,
  runKind,
  settings,
  siteMapName,
} from '../things.ts'
import { maybe, number } from './numbers.ts'

export const plannedRun = z.object({
  standardOrder: number.int(),
  runOrder: number.int(),
  block: number.int(),
  plateVisit: number.int().nullable(),
  /** The planned session, such as Session 1; null where the plan leaves it open. */
  session: z.string().nullable(),
  kind: runKind,
  settings,
  coded: z.record(z.string(), z.union([z.number(), z.string()])),
})
export type PlannedRun = z.infer<typeof plannedRun>

const errorStratum = z.enum(['run', 'plateVisit'])

export const designEvaluation = z.object({
  terms: z.array(z.string()),
  /** Percent: 100·|X′X|^(1/p)/n. */
  dEfficiency: maybe,
  /** Percent of the information on the effects that blocks leave; 100 where orthogonal, null without blocks. */
  blockEfficiency: maybe,
  /** In σ². */
  averagePredictionVariance: maybe,
  maximumPredictionVariance: maybe,
  /** Share of the region in which a prediction's variance, in σ², is no larger; by twentieths from 0 to 1. */
  predictionVarianceShares: z.array(z.object({ share: number, variance: number })),
  /** Coefficients in σ, with the degrees of freedom of the error that each is judged against. */
  smallestDetectable: z.array(
    z.object({ term: z.string(), effect: maybe, df: maybe, power: number, stratum: errorStratum }),
  ),
  /** Terms with several coefficients: the smallest difference in σ between two levels that their F test finds. */
  smallestDifferences: z.array(
    z.object({
      term: z.string(),
      df: number.int(),
      errorDf: maybe,
      effect: maybe,
      power: number,
      stratum: errorStratum,
    }),
  ),
  /** Of the estimates of the terms but the constant; the strongest are those of 0.3 and more. */
  correlations: z.object({
    terms: z.array(z.string()),
    matrix: z.array(z.array(number)),
    strongest: z.array(z.object({ term: z.string(), with: z.string(), correlation: number })),
  }),
  aliases: z.array(
    z.object({ term: z.string(), with: z.array(z.object({ term: z.string(), coefficient: number })) }),
  ),
  /** Degrees of freedom: residual, of which pure error; the rest is lack of fit. */
  residualDf: number.int(),
  pureErrorDf: number.int(),
  /** The same by stratum: between the visits to a hard-to-change setting, and between the runs within them. */
  strata: z.array(
    z.object({
      stratum: errorStratum,
      df: number.int(),
      pureErrorDf: number.int(),
      lackOfFitDf: number.int(),
    }),
  ),
})
export type DesignEvaluation = z.infer<typeof designEvaluation>

export const budget = z.object({
  substrates: number.int(),
  resistMl: number,
  /** Of the above, to purge the line. */
  purgeMl: number,
  /** How often the bottle is opened: once a session. */
  openings: number.int(),
  /** Less than 0 where it runs dry; null where nobody has said what is in it. */
  leftInBottleMl: maybe,
  minutes: number,
  /** Minutes of the above spent on heating, cooling and soaking the plate between settings. */
  plateMinutes: number,
  /** Minutes of the above until the plate is ready for the first coats of the sessions. */
  firstHeatMinutes: number,
  plateChanges: number.int().nullable(),
  assumptions: z.array(z.string()),
})
export type Budget = z.infer<typeof budget>

/** What is done at the tools from minute to minute of a session. `coat` includes bake and cool, of dummies too. */
export const timelineStep = z.object({
  kind: z.enum(['dummy', 'heat', 'cool', 'soak', 'coat', 'read']),
  from: number,
  to: number,
  /** Run order of what is coated or read; null for the plate and for dummies. */
  run: number.int().nullable(),
  /** Setting of the plate, in the end, °C; of what is coated null where bake temperature is no factor. */
  temperature: maybe,
})
export type TimelineStep = z.infer<typeof timelineStep>

/** Minutes count from the start of each session, when nothing is done yet. */
export const timeline = z.object({
  reading: readingTime,
  /** Booked for each session; null while nothing is booked. */
  slotMinutes: maybe,
  sessions: z.array(
    z.object({
      session: z.string().nullable(),
      steps: z.array(timelineStep),
      finish: number,
      /** Minutes beyond what is booked, 0 where it fits; null while nothing is booked. */
      over: maybe,
    }),
  ),
  /** Reading left for after the booked hours, of all sessions. */
  minutesLater: number,
})
export type Timeline = z.infer<typeof timeline>

/** One way to make a plan fit the booked hours. */
export const wayToFit = z.object({
  what: z.string(),
  /** Minutes by which the longest session gets shorter. */
  saves: number,
  fits: z.boolean(),
  /** What the plan can tell less well, in words. */
  cost: z.string(),
  /** What to change in the design or in the study. */
  design: designSettings.partial().optional(),
  study: z.object({ siteMap: siteMapName, readMinutes: number, plateAtStart }).partial().optional(),
})
export type WayToFit = z.infer<typeof wayToFit>

/** One number of visits to the hard-to-change setting, and what it would bring. */
export const visitChoice = z.object({
  visits: number.int(),
  /** |X′V⁻¹X|^(1/p)/n for the criterion D, one over the mean prediction variance (σ² of a run) for I. */
  precision: number,
  /** Precision over the best of those compared, 0 to 1. */
  relativeEfficiency: number,
  /** Degrees of freedom of the error between visits. */
  plateVisitDf: number.int(),
  minutes: number,
  chosen: z.boolean(),
})
export type VisitChoice = z.infer<typeof visitChoice>

export const plan = z.object({
  seed: number.int(),
  factors: z.array(factor),
  runs: z.array(plannedRun),
  evaluation: designEvaluation,
  budget,
  timeline,
  /** Waiting for the plate less than that of the average fully random order; null where no run sets the plate. */
  minutesSaved: maybe,
  /** Where a session is longer than what is booked: what to drop, the gentlest that fits first. */
  waysToFit: z.array(wayToFit),
  /** The numbers of visits compared, where the plan left the number open. */
  visitChoices: z.array(visitChoice).optional(),
  /** What the design is where its name does not say it all: generators, resolution, star distance. */
  designInWords: z.string().optional(),
  /** How the run order was made, in a sentence or two. */
  orderInWords: z.string(),
})
export type Plan = z.infer<typeof plan>
