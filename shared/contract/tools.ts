import { z } from 'zod'
import { gaugeKinds } from './choices.ts'

const id = z.uuid()
const finite = z.number()
const positive = z.number().positive()
const name = z.string().trim().min(1).max(200)

export const coater = z.object({
  id,
  name,
  maxSpeed: positive,
  /** Steepest ramp, rpm/s; null while unknown. */
  maxRamp: positive.nullable(),
  /** Whether a segment's time includes its ramp; each coater says which. */
  rampInside: z.boolean(),
  speedStep: positive,
  /** True once a person has confirmed these limits for this tool. */
  limitsConfirmed: z.boolean(),
})
export type Coater = z.infer<typeof coater>

export const hotPlate = z.object({
  id,
  name,
  maxTemperature: positive,
  /** Surface temperature minus display, °C, where no table says it. */
  surfaceOffset: finite,
  /** Surface as probed at displays, °C, both rising; linear between, held beyond. Empty: the offset everywhere. */
  offsets: z.array(z.object({ display: finite, surface: finite })).max(50),
  /** °C per minute. */
  heatRate: positive,
  coolRate: positive,
  /** Minutes to wait at a new set point before the first wafer. */
  soak: z.number().min(0),
  limitsConfirmed: z.boolean(),
})
export type HotPlate = z.infer<typeof hotPlate>

/** Where a number of a gauge came from, and its degrees of freedom; null: infinitely many. */
export const gaugeOrigin = z.object({ df: positive.nullable(), from: z.string().max(300) })

export const gauge = z.object({
  id,
  name,
  kind: z.enum(gaugeKinds),
  /** Standard deviation of repeated readings at one site, nm; null while unknown, as all below. */
  repeatability: z.number().min(0).nullable(),
  /** Standard deviation between loadings of one substrate, nm: common to its sites. */
  reload: z.number().min(0).nullable(),
  /** Standard uncertainty of the calibration as a share of the thickness: common to all that it reads. */
  calibration: z.number().min(0).max(1).nullable(),
  /** Where those three came from; null where they were typed. */
  origins: z.object({
    repeatability: gaugeOrigin.nullable(),
    reload: gaugeOrigin.nullable(),
    calibration: gaugeOrigin.nullable(),
  }),
  /** What it can read, nm. */
  rangeLow: z.number().min(0).nullable(),
  rangeHigh: positive.nullable(),
  /** By how much a mistaken fringe order is off, nm. */
  fringeStep: positive.nullable(),
})
export type Gauge = z.infer<typeof gauge>

/** What the resist's data sheet asks for; null where it says nothing. Bake temperatures are those of the surface. */
export const resistLimits = z.object({
  speedLow: positive.nullable(),
  speedHigh: positive.nullable(),
  bakeLow: finite.nullable(),
  bakeHigh: finite.nullable(),
  /** Time at speed until the film no longer thins, s. */
  dryingTime: positive.nullable(),
  /** From the fridge to the first opening, min. */
  warmUpMinutes: positive.nullable(),
  /** Openings of a bottle after which its resist is in doubt. */
  openings: z.number().int().min(1).nullable(),
})
export type ResistLimits = z.infer<typeof resistLimits>
