import { usualBead } from '../film/edge-bead.ts'
import { fromEdge, type Outline, radiusOf } from '../film/substrate.ts'

/**
 * An invented resist on invented tools, for the demo study and for tests with a known answer: how thick its
 * film comes out, and with what shape. None of its constants describes a real resist.
 */

/**
 * What may be different about the invented film, with what it is unless told. Shares are of the thickness, spreads are
 * standard deviations. The defaults are invented or from memory, plausible for a manual coater; none describes a real
 * resist.
 */
export type FilmParameters = {
  /** Mean thickness at 3000 rpm held for 40 s, lot A, baked at 100 °C for 60 s, nm. */
  referenceNm: number
  /** Thickness goes with speed to the power of minus this. */
  exponent: number
  /** How much thicker than dried the film is at the end of the ramp, as a share, and the time constant of its
   * drying at 3000 rpm, s. */
  wetShare: number
  dryingTime: number
  /** By how much lots B and C are thicker than lot A. */
  lotB: number
  lotC: number
  /** Of one session, of the plate's temperature at each setting (°C), of one wafer. */
  session: number
  plateC: number
  wafer: number
  /** Of speed (share) and bake time (s). */
  speed: number
  bakeS: number
  /** Of the bowl, ring and wedge of one wafer, and of one site. */
  bowl: number
  ring: number
  wedge: number
  site: number
  /** Of one reading and of one loading of the gauge, nm. */
  gaugeNm: number
  reloadNm: number
  /** Of the room: relative humidity (%) and temperature (°C). */
  humidity: number
  roomC: number
}

export const usualFilm: FilmParameters = {
  referenceNm: 1560,
  exponent: 0.505,
  wetShare: 0.35,
  dryingTime: 12,
  lotB: 0.018,
  lotC: -0.013,
  session: 0.005,
  plateC: 0.6,
  wafer: 0.0035,
  speed: 0.0005,
  bakeS: 1,
  bowl: 0.0012,
  ring: 0.0008,
  wedge: 0.0012,
  site: 0.0012,
  gaugeNm: 1,
  reloadNm: 1,
  humidity: 0.5,
  roomC: 0.3,
}

/** What the film really sees, as against what the tools display. */
export type FilmConditions = {
  /** Main speed, rpm, and its ramp, rpm/s. */
  speed: number
  ramp: number
  /** Time of the main segment, s; the ramp from the spread speed counts inside it. */
  segmentTime: number
  /** Temperature of the wafer on the plate, °C, and its time there, s. */
  waferTemperature: number
  bakeTime: number
  lot: string
  /** Relative humidity, %, and temperature of the room, °C. */
  humidity: number
  roomTemperature: number
  /** Times that the bottle has been opened. */
  openings: number
  /** Place of this wafer since the bowl was cleaned, from 1. */
  waferSinceClean: number
  lidOpen: boolean
}

/** Deviations of one wafer's shape: bowl, ring and wedge, as fractions of the mean. */
export type ShapeNoise = { bowl: number; ring: number; wedgeX: number; wedgeY: number }

export const noShapeNoise: ShapeNoise = { bowl: 0, ring: 0, wedgeX: 0, wedgeY: 0 }

/** Speed of the spread segment, rpm, from which the main ramp starts. */
const spreadSpeed = 500

/** Direction of the plate's cold side, degrees from +x. */
const coldSide = 210

/** The speed that is reached, and the time left at it: a ramp that does not fit ends below the set speed. */
function spun(conditions: FilmConditions): { speed: number; dwell: number } {
  const { speed, ramp, segmentTime } = conditions
  const rampTime = Math.abs(speed - spreadSpeed) / ramp
  if (rampTime < segmentTime) return { speed, dwell: segmentTime - rampTime }
  return { speed: spreadSpeed + Math.sign(speed - spreadSpeed) * ramp * segmentTime, dwell: 0 }
}

/** Share of solvent left after the bake; the wafer takes 6 s to warm up. */
function solventLeft(temperature: number, time: number): number {
  const atRest = Math.max(0.012, 0.05 - 0.0012 * (temperature - 100))
  const rate = 0.05 * Math.exp((-70000 / 8.314) * (1 / (temperature + 273.15) - 1 / 373.15))
  return atRest + (0.2 - atRest) * Math.exp(-rate * Math.max(0, time - 6))
}

/** The bake that the constants refer to. */
const solventAtReference = solventLeft(100, 60)

/** Mean thickness over the full disc without the edge bead, nm. */
export function inventedThickness(conditions: FilmConditions, film: FilmParameters = usualFilm): number {
  const { speed, dwell } = spun(conditions)
  const { wetShare, dryingTime } = film
  const drying = dryingTime * Math.sqrt(3000 / speed)
  const thinning = (1 + wetShare * Math.exp(-dwell / drying)) / (1 + wetShare * Math.exp(-40 / dryingTime))
  const solvent = solventLeft(conditions.waferTemperature, conditions.bakeTime)
  const lot = { A: 1, B: 1 + film.lotB, C: 1 + film.lotC }[conditions.lot]
  if (lot === undefined) throw new RangeError(`The invented resist has no lot ${conditions.lot}.`)
  return (
    film.referenceNm *
    (speed / 3000) ** -film.exponent *
    thinning *
    ((1 - solventAtReference) / (1 - solvent)) *
    lot *
    (1 - 0.0006 * (conditions.humidity - 45)) *
    (1 + 0.0035 * (conditions.roomTemperature - 21)) *
    (conditions.ramp / 1000) ** -0.006 *
    (1 + 0.0008 * conditions.openings) *
    (1 + 0.008 * Math.exp(-(conditions.waferSinceClean - 1) / 1.5)) *
    (conditions.lidOpen ? 1.015 : 1)
  )
}

/**
 * Thickness at one place over the mean thickness: bowl, ring and wedge, which average to nothing over the
 * disc, and the edge bead, which adds to it. On a rectangle they belong to the disc around it.
 *
 * @param place mm from the centre, x to the right, y up
 */
export function inventedProfile(
  conditions: FilmConditions,
  noise: ShapeNoise,
  place: { xMm: number; yMm: number },
  outline: Outline,
): number {
  const { speed, dwell } = spun(conditions)
  const radiusMm = radiusOf(outline)
  const x = place.xMm / radiusMm
  const y = place.yMm / radiusMm
  const square = x * x + y * y
  const bowl =
    0.001 +
    (0.012 * (speed - 3000)) / 1500 -
    (0.003 * (conditions.humidity - 45)) / 10 -
    0.004 * Math.log(conditions.ramp / 1000) +
    noise.bowl
  const ring = 0.002 + 0.008 * Math.exp(-dwell / 15) + noise.ring
  const wedge = (0.003 * (conditions.waferTemperature - 25)) / 75
  const towardsColdSide = (coldSide * Math.PI) / 180
  return (
    1 +
    bowl * (2 * square - 1) +
    ring * (6 * square ** 2 - 6 * square + 1) +
    wedge * (x * Math.cos(towardsColdSide) + y * Math.sin(towardsColdSide)) +
    noise.wedgeX * x +
    noise.wedgeY * y +
    usualBead(fromEdge(outline, { x: place.xMm, y: place.yMm }))
  )
}
