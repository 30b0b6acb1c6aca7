import { z } from 'zod'
import { designSettings, factor, readingTime, runKind, settings, siteMapName } from './things.ts'

/**
 * Results of the computations, in the shapes that the command line prints with --json.
 * Missing numbers are null. Fractions everywhere, percent only under `nonUniformity`, `dEfficiency` and `blockEfficiency`.
 */

const number = z.number()
const maybe = z.number().nullable()
const interval = z.tuple([z.number(), z.number()])

export const problem = z.object({
  code: z.string(),
  message: z.string(),
  row: z.number().optional(),
  column: z.string().optional(),
})

// ── plan ────────────────────────────────────────────────────────────────────

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
  /** Minutes of the above spent on heating, cooling and soaking the plate. */
  plateMinutes: number,
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
  /** Setting of the plate, in the end, °C; null where bake temperature is no factor. */
  temperature: maybe,
})
export type TimelineStep = z.infer<typeof timelineStep>

/** Minutes count from the start of each session, when the plate is at its first temperature. */
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
  study: z.object({ siteMap: siteMapName, readMinutes: number }).optional(),
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

// ── check ───────────────────────────────────────────────────────────────────

/** The checks, in the order of the work; those that `check` of the command line makes come first. */
export const checkCodes = [
  'ramp',
  'dwell',
  'speed',
  'chuck',
  'bake',
  'acceleration',
  'reached',
  'resist',
  'total',
  'settle',
  'bowl',
  'bottle',
] as const

export const finding = z.object({
  code: z.enum(checkCodes),
  severity: z.enum(['outside', 'warning']),
  segment: z.number().int().optional(),
  value: number,
  limit: number,
  limitConfirmed: z.boolean(),
  message: z.string(),
})
export type Finding = z.infer<typeof finding>

export const programCheck = z.object({
  ok: z.boolean(),
  segments: z.array(
    z.object({
      from: number,
      to: number,
      ramp: number,
      time: number,
      rampTime: number,
      timeAtSpeed: number,
    }),
  ),
  findings: z.array(finding),
})
export type ProgramCheck = z.infer<typeof programCheck>

/** What one check came to. One whose numbers were not all given was not made; one with nothing but warnings is within. */
export const checkState = z.object({
  code: z.enum(checkCodes),
  state: z.enum(['within', 'outside', 'not checked']),
  findings: z.array(finding),
})
export type CheckState = z.infer<typeof checkState>

// ── film ────────────────────────────────────────────────────────────────────

export const nonUniformity = z.object({
  halfRangeOverMean: maybe,
  halfRangeOverMidRange: maybe,
  rangeOverMean: maybe,
  halfRangeOverMaximum: maybe,
  rangeOverMaximum: maybe,
  standardDeviationOverMean: maybe,
  threeStandardDeviationsOverMean: maybe,
  /** With n in place of n − 1. */
  standardDeviationOfAllOverMean: maybe,
})
export type NonUniformity = z.infer<typeof nonUniformity>

export const filmShape = z.object({
  bowl: maybe,
  ring: maybe,
  wedgeX: maybe,
  wedgeY: maybe,
  rest: maybe,
  wedge: maybe,
  /** Degrees counter-clockwise from +x, 0 ≤ d < 360. */
  wedgeDirection: maybe,
})
export type FilmShape = z.infer<typeof filmShape>

/** One part of the uncertainty of a mean, in the unit of the readings; null degrees of freedom: infinitely many. */
export const uncertaintyPart = z.object({
  name: z.enum(['sites', 'repeatability', 'reload', 'calibration']),
  value: number,
  df: maybe,
})
export type UncertaintyPart = z.infer<typeof uncertaintyPart>

export const filmUncertainty = z.object({
  parts: z.array(uncertaintyPart),
  /** The combined standard uncertainty, with its effective degrees of freedom. */
  standard: number,
  df: maybe,
})
export type FilmUncertainty = z.infer<typeof filmUncertainty>

export const filmSummary = z.object({
  id: z.string(),
  n: number.int(),
  mean: maybe,
  areaWeightedMean: maybe,
  standardDeviation: maybe,
  /** Of the mean, from the scatter of the sites alone. */
  standardUncertainty: maybe,
  /** Of the mean, with what is known of the gauge. */
  uncertainty: filmUncertainty.nullable(),
  nonUniformity,
  shape: filmShape,
  excluded: z.array(z.object({ row: number.int(), reason: z.string() })),
  /** The same with every reading above zero, where some of those are left out. */
  withExcluded: z
    .object({ n: number.int(), mean: maybe, standardDeviation: maybe, nonUniformity })
    .nullable(),
})
export type FilmSummary = z.infer<typeof filmSummary>

// ── fit ─────────────────────────────────────────────────────────────────────

const varianceSource = z.enum(['estimated', 'earlierStudies', 'stated'])

export const predictionResult = z.object({
  at: settings,
  scope: z.enum(['sameSession', 'otherSession']),
  estimate: number,
  standardErrorOfMean: number,
  confidence: interval,
  prediction: interval,
  df: number,
  varianceSource,
  /** Where a variance is stated: the intervals by the runs alone, null where there are none. */
  without: z.object({ confidence: interval, prediction: interval }).nullable().optional(),
})
export type PredictionResult = z.infer<typeof predictionResult>

/** A prediction beside that at other settings; `standardError` in the response's unit, or of the ratio. */
export const differenceResult = z.object({
  at: settings,
  against: settings,
  kind: z.enum(['difference', 'ratio']),
  estimate: number,
  standardError: number,
  confidence: interval,
  df: number,
})
export type DifferenceResult = z.infer<typeof differenceResult>

/** What a Gaussian process was fitted with, and how it predicts each run from all others. */
export const surfaceFit = z.object({
  kernel: z.enum(['matern52', 'squaredExponential']),
  trend: z.enum(['none', 'constant', 'linear', 'quadratic']),
  noiseFrom: z.enum(['stated', 'replicates', 'estimated']),
  /** In the units of the inputs, as the formula writes them. */
  lengths: z.array(z.object({ input: z.string(), length: number })),
  /** On the scale of the model: `outside` counts the runs outside the prediction interval of the fit's level. */
  leftOut: z.object({ rootMeanSquareError: number, outside: number.int() }),
})

/** The power of the response that fits best, 0 standing for the logarithm. */
export const transformation = z.object({
  lambda: number,
  logLikelihood: number,
  /** Null where the interval goes on beyond ±5. */
  lower: maybe,
  upper: maybe,
  words: z.string(),
})
export type Transformation = z.infer<typeof transformation>

/** The setting of one column at which the fit reaches a target, the others held. */
export const targetSetting = z.object({
  column: z.string(),
  setting: number,
  /** Settings at which the mean may be the target; an end without a bound is null. */
  lower: maybe,
  upper: maybe,
  /** Settings at which one new run may read the target. */
  oneRun: z.object({ lower: maybe, upper: maybe }),
  scope: z.enum(['sameSession', 'otherSession']),
  at: settings,
  words: z.string(),
})
export type TargetSetting = z.infer<typeof targetSetting>

export const fit = z.object({
  n: number.int(),
  df: number,
  dfMethod: z.enum(['residual', 'satterthwaite', 'kenwardRoger']),
  residualStandardDeviation: maybe,
  rSquared: maybe,
  rSquaredAdjusted: maybe,
  rSquaredPredicted: maybe,
  press: maybe,
  logLikelihood: maybe,
  aicc: maybe,
  terms: z.array(
    z.object({
      term: z.string(),
      estimate: number,
      standardError: maybe,
      df: maybe,
      t: maybe,
      p: maybe,
      lower: maybe,
      upper: maybe,
      /** Profile interval of an equation's parameter; null where the profile does not close. */
      profile: z.tuple([maybe, maybe]).optional(),
      /** Null for the constant; absent where the fit is not plain least squares. */
      varianceInflation: maybe.optional(),
    }),
  ),
  notEstimable: z.array(z.object({ term: z.string(), because: z.string() })),
  analysisOfVariance: z.array(
    z.object({
      source: z.string(),
      df: number,
      sumOfSquares: number,
      meanSquare: maybe,
      f: maybe,
      p: maybe,
    }),
  ),
  marginalTests: z.array(z.object({ term: z.string(), df: number, f: maybe, p: maybe })),
  lackOfFit: z.object({ df: number, pureErrorDf: number, f: maybe, p: maybe }).nullable(),
  /** With groups: the same by stratum, outermost first, `residual` last; `denominatorDf` are those of F's error. */
  lackOfFitByStratum: z
    .array(
      z.object({
        stratum: z.string(),
        df: number,
        pureErrorDf: number,
        f: maybe,
        p: maybe,
        denominatorDf: maybe,
      }),
    )
    .optional(),
  varianceComponents: z.array(
    z.object({
      group: z.string(),
      variance: number,
      standardDeviation: number,
      /** Degrees of freedom that these runs leave for it. */
      df: number.optional(),
      source: varianceSource.optional(),
      /** What was stated of it; df null: taken as it is. */
      stated: z.object({ standardDeviation: number, df: maybe }).optional(),
    }),
  ),
  /** Where a variance is stated: half widths of the terms' intervals with it and by the runs alone. */
  statedEffect: z
    .array(z.object({ term: z.string(), halfWidth: number, halfWidthWithout: maybe }))
    .optional(),
  runs: z.array(
    z.object({
      row: number.int(),
      fitted: number,
      residual: number,
      leverage: number,
      studentized: maybe,
      cooksDistance: maybe,
      /** Of a robust fit: how much the run counts, 0 to 1. */
      weight: number.optional(),
    }),
  ),
  predictions: z.array(predictionResult),
  /** Where settings to compare with were given. */
  differences: z.array(differenceResult).optional(),
  stopReason: z.string().optional(),
  transformation: transformation.optional(),
  target: targetSetting.optional(),
  surface: surfaceFit.optional(),
  problems: z.array(problem),
})
export type Fit = z.infer<typeof fit>

/** Models of one measured quantity, on the same rows. */
export const modelComparison = z.object({
  models: z.array(
    z.object({
      model: z.string(),
      terms: number.int(),
      n: number.int(),
      df: number,
      /** Of the measured quantity, whatever the model's scale, so that transformations compare. */
      aicc: maybe,
      aiccAbove: maybe,
      /** Root mean square of left-out predictions less readings, in the measured unit. */
      predictionError: maybe,
      /** The same of the errors as fractions of the readings; null where these are not positive. */
      relativePredictionError: maybe,
      /** What was left out at a time: `run`, or the column of groups. */
      leftOut: z.string(),
      lackOfFit: z.object({ df: number, pureErrorDf: number, f: maybe, p: maybe }).nullable(),
    }),
  ),
  cannotTell: z.array(z.string()),
  /** Rows left out, since some model cannot use them. */
  problems: z.array(problem),
})
export type ModelComparison = z.infer<typeof modelComparison>

// ── next ────────────────────────────────────────────────────────────────────

export const runCost = z.object({ minutes: number, resistMl: number, plateChange: z.boolean() })

export const choice = z.object({
  settings,
  /** What the choice is good for. */
  aim: z.enum(['reach', 'learn', 'both']),
  estimate: number,
  standardErrorOfMean: number,
  prediction: z.object({ sameSession: interval, otherSession: interval.nullable() }),
  chanceInTolerance: z.object({ sameSession: number, otherSession: maybe }),
  varianceSource,
  /** True beyond the tested region. */
  extrapolates: z.boolean(),
  reason: z.string(),
  cost: runCost,
})
export type Choice = z.infer<typeof choice>

export const recommendation = z.object({
  choices: z.array(choice),
  /** Why some of the aims that were asked for have no choice. */
  problems: z.array(problem),
})
export type Recommendation = z.infer<typeof recommendation>

// ── compare ─────────────────────────────────────────────────────────────────

export const comparison = z.object({
  groups: z.array(z.string()),
  tests: z.array(
    z.object({ question: z.enum(['same', 'parallel']), f: maybe, df1: number, df2: number, p: maybe }),
  ),
  /** The first group in order of appearance, to which the shifts are ratios. */
  reference: z.object({ group: z.string(), speedFor: maybe, speedLower: maybe, speedUpper: maybe }),
  shifts: z.array(
    z.object({
      group: z.string(),
      ratio: number,
      lower: maybe,
      upper: maybe,
      speedFor: maybe,
      speedLower: maybe,
      speedUpper: maybe,
      equivalent: z.boolean().nullable(),
    }),
  ),
})
export type Comparison = z.infer<typeof comparison>

// ── trace ───────────────────────────────────────────────────────────────────

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
