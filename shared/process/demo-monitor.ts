import type { ProcessEvent } from '../contract/materials.ts'
import type { RecipeDecision } from '../contract/recipes.ts'
import type { StudyInput } from '../contract/things.ts'
import { studySites } from '../film/site-map.ts'
import type { Random } from '../random.ts'
import type { DemoRun } from './demo-scenario.ts'
import { simulateReadings } from './invented-readings.ts'

/** The recipe of the demo with its monitor runs: one wafer a reading, three readings a week for eight weeks. */
export type DemoMonitor = {
  model: string
  settings: DemoRun['settings']
  lot: string
  decision: RecipeDecision
  /** In time, each on a day of its own. */
  runs: (DemoRun & { session: string; day: string })[]
  /** The day, and what happened on it before the wafer was coated. */
  events: (Pick<ProcessEvent, 'kind' | 'text'> & { day: string })[]
}

const settings: DemoRun['settings'] = { speed: 3280, time: 40, bake: 100 }
const lot = 'A'
const readings = 24
/** The bottle is opened three times between two readings: +0.24 % each time, as the solvent leaves. */
const openingsBetween = 3
/** Readings before which the bottle was replaced and the plate set right, counted from 1. */
const freshBottleAt = 14
const plateSetRightAt = 19
/** By so much the plate's surface is warmer afterwards at the same display, °C. */
const plateSetRightBy = 1.5

/** Mondays, Wednesdays and Fridays from 5 January 2026. */
function dayOfReading(reading: number): string {
  const days = 7 * Math.floor((reading - 1) / 3) + 2 * ((reading - 1) % 3)
  return new Date(Date.UTC(2026, 0, 5 + days)).toISOString().slice(0, 10)
}

/** The monitor runs of the demo: the bottle ages, is replaced, and the plate is set right. */
export function demoMonitor(options: {
  study: StudyInput
  ramp: number
  firstCode: number
  random: Random
}): DemoMonitor {
  const { study, ramp, firstCode, random } = options
  const made = Array.from({ length: readings }, (_, i) => {
    const reading = i + 1
    const since = reading < freshBottleAt ? reading - 1 : reading - freshBottleAt
    return { reading, openings: 1 + openingsBetween * since, session: `Monitor ${reading}` }
  })
  const films = simulateReadings({
    runs: made.map(({ reading, openings, session }) => ({
      session,
      plateVisit: 1,
      speed: settings.speed,
      ramp,
      segmentTime: settings.time,
      bakeDisplay: settings.bake + (reading < plateSetRightAt ? 0 : plateSetRightBy),
      bakeTime: study.bakeTime,
      lot,
      openings,
      waferSinceClean: study.dummies + 1,
      lidOpen: false,
    })),
    sites: studySites(study),
    outline: study,
    random,
  })
  return {
    model: 'log(thickness) ~ log(speed) + time + time^2 + bake + bake^2 + log(speed).time + lot',
    settings,
    lot,
    decision: {
      name: 'K-15 at 1500 nm',
      decidedBy: 'Demo',
      reason: 'The recipe for the target by the sweep, at the speed to which the coater can be set.',
      note: 'Invented, as everything in this study.',
    },
    runs: made.map(({ reading, openings, session }, i) => ({
      code: `W${firstCode + i}`,
      kind: 'monitor',
      plateVisit: null,
      lot,
      session,
      day: dayOfReading(reading),
      settings,
      note: `Bottle opened ${openings} ×.`,
      readings: films[i] ?? [],
    })),
    events: [
      {
        kind: 'fresh bottle',
        text: 'The old one had been opened 37 times.',
        day: dayOfReading(freshBottleAt),
      },
      {
        kind: 'plate recalibrated',
        text: 'Its surface is 1.5 °C warmer at the same display.',
        day: dayOfReading(plateSetRightAt),
      },
    ],
  }
}
