import type { Site } from '../film/site-map.ts'
import type { Outline } from '../film/substrate.ts'
import {
  type FilmConditions,
  type FilmParameters,
  inventedProfile,
  inventedThickness,
  noShapeNoise,
} from '../process/invented-film.ts'
import { plateSurfaceOffset, type SimulatedRun } from '../process/invented-readings.ts'

/** Wafers after which a cleaned bowl has settled. */
export const settledBowl = 1000
/** Humidity in the middle of a session, %, and the room's temperature, °C. */
const usualRoom = { humidity: 45.5, roomTemperature: 21 }

/**
 * What the invented film truly is with tools that do what they are set to, on a day without a deviation: the mean
 * over the sites, nm.
 */
export function trueFilm(
  set: Pick<SimulatedRun, 'speed' | 'ramp' | 'segmentTime' | 'bakeDisplay' | 'bakeTime' | 'lot'>,
  { sites, outline, film }: { sites: readonly Site[]; outline: Outline; film: FilmParameters },
): number {
  const { bakeDisplay, ...tools } = set
  const conditions: FilmConditions = {
    ...tools,
    ...usualRoom,
    waferTemperature: bakeDisplay + plateSurfaceOffset,
    openings: 1,
    waferSinceClean: settledBowl,
    lidOpen: false,
  }
  const thickness = inventedThickness(conditions, film)
  const profiles = sites.map((site) => inventedProfile(conditions, noShapeNoise, site, outline))
  return (thickness * profiles.reduce((sum, profile) => sum + profile, 0)) / profiles.length
}
