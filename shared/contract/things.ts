import { z } from 'zod'
import {
  clockTimePattern,
  designKinds,
  factorRoles,
  nonUniformityFormulas,
  readingStages,
  runStates,
  siteMapNames,
  substrateShapes,
} from './choices.ts'
import { filmParameters } from './film-parameters.ts'
import { bottle } from './materials.ts'
import { coater, gauge, hotPlate, resistLimits } from './tools.ts'

/**
 * The things that the program keeps, by their trade names, as the page and the engine exchange them.
 * Units: film lengths in nm, positions in mm, speed in rpm, ramp in rpm/s, time in s, temperature in °C.
 */

const id = z.uuid()
const finite = z.number()
const positive = z.number().positive()
const name = z.string().trim().min(1).max(200)

export const nonUniformityFormula = z.enum(nonUniformityFormulas)
export type NonUniformityFormula = z.infer<typeof nonUniformityFormula>

export const siteMapName = z.enum(siteMapNames)
export type SiteMapName = z.infer<typeof siteMapName>

/** A map of one's own: sites by number, mm from the centre, x to the right, y up. */
export const ownSites = z.object({
  name,
  sites: z
    .array(z.object({ site: z.number().int().min(1).max(9999), xMm: finite, yMm: finite }))
    .min(1)
    .max(500),
})
export type OwnSites = z.infer<typeof ownSites>

export const substrateShape = z.enum(substrateShapes)
export type SubstrateShape = z.infer<typeof substrateShape>

export const readingStage = z.enum(readingStages)
export type ReadingStage = z.infer<typeof readingStage>

export const factorRole = z.enum(factorRoles)
export type FactorRole = z.infer<typeof factorRole>

/** A factor of a design. `levels` counts the levels of a continuous factor; a categorical one lists them. */
export const factor = z.object({
  name,
  role: factorRole,
  unit: z.string().max(20),
  kind: z.enum(['continuous', 'categorical']),
  low: finite.nullable(),
  high: finite.nullable(),
  levels: z.number().int().min(2).max(50),
  levelNames: z.array(name),
  /** What the tool can be set to: settings are rounded to low + a multiple of this. Null: anything. */
  step: positive.nullable(),
  scale: z.enum(['linear', 'log']),
  hardToChange: z.boolean(),
})
export type Factor = z.infer<typeof factor>

/** One segment of a spin program, as typed into the coater. */
export const segment = z.object({ rpm: z.number().min(0), ramp: positive, time: z.number().min(0) })
export type Segment = z.infer<typeof segment>

/** A step of the run card, told apart by its name; `shows` is what the run sets that stands beside it. */
export const cardStep = z.object({
  name,
  minutes: z.number().min(0).nullable(),
  note: z.string().max(500),
  shows: z.enum(['nothing', 'dispense', 'program', 'bake', 'sites']),
})
export type CardStep = z.infer<typeof cardStep>

/** Temperature of the hot plate when a session begins, °C, unless it is set and has soaked by then. */
export const plateAtStart = z.union([z.literal('set beforehand'), finite])
export type PlateAtStart = z.infer<typeof plateAtStart>

/** What the study asks and on what it is done. Everything here can be changed later. */
export const studyInput = z.object({
  name,
  question: z.string().max(2000),
  targetNm: positive.nullable(),
  toleranceNm: positive.nullable(),
  /** The stage at which the target is meant; only readings of it are summed up and fitted. */
  targetAfter: readingStage,
  /** Percent, by `uniformityFormula`. */
  uniformityLimit: positive.nullable(),
  uniformityFormula: nonUniformityFormula,
  substrate: z.string().max(200),
  substrateShape,
  /** Of a round substrate. */
  diameterMm: positive,
  /** Of a rectangle; null where nobody has said. */
  widthMm: positive.nullable(),
  heightMm: positive.nullable(),
  edgeExclusionMm: z.number().min(0),
  siteMap: siteMapName,
  /** Of a line of sites, degrees counter-clockwise from +x. */
  lineDirection: z.number().min(0).lt(180),
  ownSites: ownSites.nullable(),
  /** What readings get that are entered from now on: the stage, and the optical index where one is used. */
  readAfter: readingStage,
  readIndex: positive.max(10).nullable(),
  resist: z.string().max(200),
  resistLimits,
  /** Lot names in order; the first is the one that runs get unless the plan says otherwise. */
  lots: z.array(name),
  thicknessUnit: z.enum(['nm', 'Å', 'µm']),
  coaterId: id.nullable(),
  hotPlateId: id.nullable(),
  gaugeId: id.nullable(),
  chuckMm: positive.nullable(),
  /** The spin program. The last segment at the highest speed sets the thickness; factors replace its numbers. */
  program: z.array(segment).max(20),
  /** What is done to one substrate, in order; a run may have steps of its own. */
  steps: z.array(cardStep).max(30),
  bakeTemperature: finite,
  bakeTime: z.number().min(0),
  /** Resist for one coat and once for purging the line, mL. */
  coatMl: z.number().min(0),
  purgeMl: z.number().min(0),
  dummies: z.number().int().min(0).max(25),
  spares: z.number().int().min(0).max(100),
  /** Minutes for coat, bake and cool of one wafer, and for reading one wafer. */
  coatMinutes: z.number().min(0),
  readMinutes: z.number().min(0),
  /** Hours booked for one session at the tools; null while nothing is booked. */
  slotHours: positive.max(1000).nullable(),
  plateAtStart,
  /** The bottle that is poured from, where one is chosen. */
  bottleId: id.nullable(),
  /** Resist in the bottle before the plan begins, mL, where no bottle is chosen; null where nobody has said. */
  bottleMl: z.number().min(0).nullable(),
  /** The room's own safety text, shown with the cautions. */
  roomRules: z.string().max(5000),
  notes: z.string().max(20000),
})
export type StudyInput = z.infer<typeof studyInput>

export const designKind = z.enum(designKinds)
export type DesignKind = z.infer<typeof designKind>

export const visitOrders = ['random', 'cheapest'] as const
export const visitOrder = z.enum(visitOrders)

/**
 * When films are read: by one person after the last coat of the session, by a second person while the next are
 * coated, or outside the booked hours.
 */
export const readingTimes = ['after', 'meanwhile', 'later'] as const
export const readingTime = z.enum(readingTimes)
export type ReadingTime = z.infer<typeof readingTime>

/** What kind of run table to make, and how to order it. Optional fields belong to the kinds that they name. */
export const designSettings = z.object({
  kind: designKind,
  replicates: z.number().int().min(1).max(100),
  centre: z.number().int().min(0).max(100),
  blocks: z.number().int().min(1).max(100),
  seed: z
    .number()
    .int()
    .min(0)
    .max(2 ** 31 - 1),
  /** σ of one run as a share of the response on the log scale; only used to put effects into percent. */
  sigma: positive.nullable(),
  power: z.number().gt(0).lt(1),
  /** Model to judge the plan by, and to make an optimal one for, in coded factors; else the usual one. */
  model: z.string().max(2000).optional(),
  /** Generators of a two-level fraction (also that of a composite's cube), such as `ramp = speed.time.bake`. */
  fraction: z.string().max(500).optional(),
  /** How far the star points of a composite stand out; `face` unless given. */
  star: z.enum(['face', 'rotatable', 'spherical']).optional(),
  /** Runs of a space-filling or an optimal design, or of a fraction without generators. */
  runs: z.number().int().min(1).max(500).optional(),
  /** Optimal: D narrows the coefficients, I the predictions over the region; D unless given. */
  criterion: z.enum(['D', 'I']).optional(),
  /** Full and optimal: combinations to leave out, such as `bake > 105 and time > 40`. */
  forbid: z.string().max(2000).optional(),
  /** Optimal and space-filling: settings of runs already made, which the new ones complete. */
  keep: z
    .array(z.record(z.string(), z.union([finite, z.string()])))
    .max(500)
    .optional(),
  /** Visits to the hard-to-change setting in all; one a level and block unless given. */
  visits: z.number().int().min(1).max(100).optional(),
  /** Variance between visits over variance between runs; 1 unless given. */
  varianceRatio: z.number().min(0).max(1000).optional(),
  /** The order of the visits of a block: drawn by chance, or with the least waiting; `random` unless given. */
  visitOrder: visitOrder.optional(),
  /** Sessions over which the runs are spread; the blocks are dealt out among them. */
  sessions: z.number().int().min(1).max(3).optional(),
  /** A run of the study's own recipe first and last in each session. */
  reference: z.boolean().optional(),
  /** When the films are read; `after` unless given. */
  reading: readingTime.optional(),
  /** When a session begins, HH:MM. */
  start: z.string().regex(clockTimePattern).optional(),
})
export type DesignSettings = z.infer<typeof designSettings>

export const stage = z.object({
  id,
  position: z.number().int(),
  kind: z.enum(['grid', 'next', 'confirmation', 'by hand', 'imported', 'monitor', 'lot check']),
  title: z.string(),
  design: designSettings.nullable(),
  at: z.string(),
})
export type Stage = z.infer<typeof stage>

/** What the readings of a practice study come from: a seed and an invented film. */
export const practice = z.object({
  seed: z
    .number()
    .int()
    .min(0)
    .max(2 ** 30),
  film: filmParameters,
})
export type Practice = z.infer<typeof practice>

export const study = studyInput.extend({
  id,
  /** True where the film is invented; shown on every screen and export. */
  simulated: z.boolean(),
  /** Null unless runs of this study get their readings from an invented film as they are marked as coated. */
  practice: practice.nullable(),
  archived: z.boolean(),
  /** The model formula last chosen on Curves. */
  model: z.string().nullable(),
  createdAt: z.string(),
  changedAt: z.string(),
  factors: z.array(factor),
  stages: z.array(stage),
  coater: coater.nullable(),
  hotPlate: hotPlate.nullable(),
  gauge: gauge.nullable(),
  bottle: bottle.nullable(),
})
export type Study = z.infer<typeof study>

export const setting = z.union([finite, z.string()])
export const settings = z.record(z.string(), setting)
export type Settings = z.infer<typeof settings>

export const runKinds = [
  'factorial',
  'centre',
  'star',
  'edge',
  'space',
  'optimal',
  'kept',
  'reference',
  'next',
  'confirmation',
  'by hand',
  'imported',
  'monitor',
] as const
export const runKind = z.enum(runKinds)
export type RunKind = z.infer<typeof runKind>

/**
 * What really happened to a run, where it is known; what is missing went as planned. Speeds in rpm, ramp in rpm/s,
 * times in s, temperatures in °C, humidity in %.
 */
export const actual = z
  .object({
    speed: positive,
    ramp: positive,
    time: z.number().min(0),
    bakeDisplay: finite,
    /** As probed on the plate; the plate's offset makes of it the display that it stands for. */
    bakeSurface: finite,
    bakeTime: z.number().min(0),
    roomTemperature: finite,
    humidity: z.number().min(0).max(100),
    /** Since the plate was set to another temperature. */
    minutesSinceSet: z.number().min(0),
    /** Coated since the bowl was cleaned, this one counted. */
    waferSinceClean: z.number().int().min(1),
    lidOpen: z.boolean(),
    operator: z.string().trim().max(200),
    /** What went otherwise than planned, in words. */
    deviation: z.string().trim().max(2000),
  })
  .partial()
export type Actual = z.infer<typeof actual>

export const runState = z.enum(runStates)
export type RunState = z.infer<typeof runState>

/** A visit to the tools by one person: what its wafers share. */
export const session = z.object({
  name,
  /** Day as YYYY-MM-DD, empty while unknown. */
  day: z.string().max(20),
  operator: z.string().max(200),
  roomTemperature: finite.nullable(),
  humidity: z.number().min(0).max(100).nullable(),
  /** The bottle that it pours from. */
  bottleId: id.nullable(),
  note: z.string().max(5000),
})
export type Session = z.infer<typeof session>

/** A stretch at one setting of the hot plate: the display as set, the surface as probed, °C. */
export const plateVisit = z.object({
  number: z.number().int().min(1),
  display: finite.nullable(),
  surface: finite.nullable(),
  /** When the plate was set, HH:MM, empty while unknown. */
  setAt: z.string().max(20),
  note: z.string().max(5000),
})
export type PlateVisit = z.infer<typeof plateVisit>

/** One coated substrate: planned settings, what became of it. */
export const run = z.object({
  id,
  studyId: id,
  stageId: id,
  /** What is written on the back of the substrate, such as W07; unique in the study. */
  code: name,
  standardOrder: z.number().int().nullable(),
  runOrder: z.number().int(),
  block: z.number().int(),
  plateVisit: z.number().int().nullable(),
  kind: runKind,
  lot: z.string().nullable(),
  settings,
  /** The kept recipe that the run is made by, to confirm or to watch it; null where it is made by none. */
  recipeId: id.nullable(),
  state: runState,
  session: z.string().nullable(),
  note: z.string(),
  actual,
  /** Its own steps; null: those of the study. */
  steps: z.array(cardStep).max(30).nullable(),
  /** When a step was checked off, by its name. */
  stepsDone: z.record(z.string(), z.string()),
  /** When it was first noted as coated; null while it is not, or where nobody noted it. */
  coatedAt: z.string().nullable(),
  /** Code of the substrate itself, which may be coated again; null while nobody has said it. */
  substrate: z.string().trim().min(1).max(200).nullable(),
  /** What is wrong with the film of a failed run, in words. */
  defect: z.string().nullable(),
  /** Reason, where the whole run is left out of fits. */
  excluded: z.string().nullable(),
})
export type Run = z.infer<typeof run>

/** One reading: a number that someone or something read, with what was typed kept beside it. */
export const reading = z.object({
  id,
  runId: id,
  /** What was read: `thickness` (nm), or the name of another response in its own unit. */
  quantity: name,
  site: z.number().int().nullable(),
  xMm: finite.nullable(),
  yMm: finite.nullable(),
  /** Several readings at one site of one stage stand beside each other, from 1. */
  repeat: z.number().int().min(1).max(1000),
  /** Null where nobody has said: then it is taken for the stage of the study's target. */
  takenAfter: readingStage.nullable(),
  /** Optical index that the gauge reckoned with; null where it is not known or there is none. */
  opticalIndex: finite.nullable(),
  value: finite,
  text: z.string(),
  unit: z.string(),
  at: z.string(),
  supersedes: id.nullable(),
  /** Reason of the exclusion in force, or null. */
  excluded: z.string().nullable(),
})
export type Reading = z.infer<typeof reading>
