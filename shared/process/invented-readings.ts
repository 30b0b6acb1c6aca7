import type { Site } from '../film/site-map.ts'
import type { Outline } from '../film/substrate.ts'
import type { Random } from '../random.ts'
import {
  type FilmConditions,
  type FilmParameters,
  inventedProfile,
  inventedThickness,
  type ShapeNoise,
  usualFilm,
} from './invented-film.ts'

/** One wafer of a simulated day, as the tools are set; the rest comes from the dice. */
export type SimulatedRun = {
  session: string
  /** Stretch at one plate setting; wafers of one visit share what the plate really does. */
  plateVisit: number
  speed: number
  ramp: number
  segmentTime: number
  /** °C on the plate's display. */
  bakeDisplay: number
  bakeTime: number
  lot: string
  openings: number
  waferSinceClean: number
  lidOpen: boolean
}

/** Relative humidity at the first and the last wafer of a session, %: it rises slowly. */
const humidityRise = [44, 47] as const
/** The wafer is this much warmer than the plate's display, °C. */
export const plateSurfaceOffset = -1.5

/** One simulated gauge reading, nm, to 0.1 nm. */
export type SimulatedReading = Site & { valueNm: number }

/**
 * Coats, bakes and reads the wafers in the order given. Variation is nested: session, plate visit, wafer, site,
 * gauge.
 */
export function simulateReadings(input: {
  runs: readonly SimulatedRun[]
  sites: readonly Site[]
  outline: Outline
  random: Random
  film?: FilmParameters
  /** What sessions deviate by, as shares; filled with what is drawn for those that are not in it. */
  sessions?: Map<string, number>
  /** The same of plate visits by `SESSION/VISIT`, °C. */
  visits?: Map<string, number>
}): SimulatedReading[][] {
  const { random, film: sigma = usualFilm } = input
  const { sessions = new Map<string, number>(), visits = new Map<string, number>() } = input
  return input.runs.map((run) => {
    const visit = `${run.session}/${run.plateVisit}`
    const session = remembered(sessions, run.session, () => sigma.session * random.normal())
    const plate = remembered(visits, visit, () => sigma.plateC * random.normal())
    const ofSession = input.runs.filter((other) => other.session === run.session)
    const elapsed = ofSession.indexOf(run) / Math.max(1, ofSession.length - 1)
    const conditions = conditionsOf(run, { elapsed, plate, random, sigma })
    const noise: ShapeNoise = {
      bowl: sigma.bowl * random.normal(),
      ring: sigma.ring * random.normal(),
      wedgeX: sigma.wedge * random.normal(),
      wedgeY: sigma.wedge * random.normal(),
    }
    const thickness =
      inventedThickness(conditions, sigma) * (1 + session) * (1 + sigma.wafer * random.normal())
    const reload = sigma.reloadNm * random.normal()
    return input.sites.map((site) => {
      const profile = inventedProfile(conditions, noise, site, input.outline)
      const film = thickness * profile * (1 + sigma.site * random.normal())
      const read = film + reload + sigma.gaugeNm * random.normal()
      return { ...site, valueNm: Math.round(read * 10) / 10 }
    })
  })
}

/** What one wafer really sees: set values with the errors of speed, bake time, plate and room. */
function conditionsOf(
  run: SimulatedRun,
  {
    elapsed,
    plate,
    random,
    sigma,
  }: { elapsed: number; plate: number; random: Random; sigma: FilmParameters },
): FilmConditions {
  const [start, end] = humidityRise
  return {
    speed: run.speed * (1 + sigma.speed * random.normal()),
    ramp: run.ramp,
    segmentTime: run.segmentTime,
    waferTemperature: run.bakeDisplay + plateSurfaceOffset + plate,
    bakeTime: run.bakeTime + sigma.bakeS * random.normal(),
    lot: run.lot,
    humidity: start + (end - start) * elapsed + sigma.humidity * random.normal(),
    roomTemperature: 21 + sigma.roomC * random.normal(),
    openings: run.openings,
    waferSinceClean: run.waferSinceClean,
    lidOpen: run.lidOpen,
  }
}

function remembered<K>(known: Map<K, number>, key: K, draw: () => number): number {
  const value = known.get(key) ?? draw()
  known.set(key, value)
  return value
}
