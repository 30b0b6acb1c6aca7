import type { Factor, Run, Settings, StudyInput } from '../contract/things.ts'
import type { MappedSubstrate } from '../film/site-map.ts'
import type { SimulatedRun } from '../process/invented-readings.ts'
import { programOfRun } from '../process/run-program.ts'
import { mainSegment } from '../process/spin-program.ts'

/** A wafer of the plan: what is set, and which day and plate setting it shares with others. */
export type PlannedWafer = Pick<Run, 'settings' | 'lot' | 'plateVisit'> & { session: string }

/** What the study sets besides its factors. */
export type StudyFigures = Pick<StudyInput, 'program' | 'bakeTemperature' | 'bakeTime' | 'dummies'> &
  MappedSubstrate & { coater: { rampInside: boolean } | null }

/** The lots that the invented film knows: the plan's lots stand for them in order of appearance. */
export const inventedLots = ['A', 'B', 'C']

/**
 * The planned wafers as the invented film takes them. A plan without plate visits sets the plate anew whenever the
 * temperature changes; every session starts with a clean bowl and its dummies, and a bottle opened once.
 */
export function simulatedRuns(
  wafers: readonly PlannedWafer[],
  { study, factors }: { study: StudyFigures; factors: readonly Factor[] },
): SimulatedRun[] {
  const lots = [...new Set(wafers.map(({ lot }) => lot))]
  const place = new Map<string, number>()
  let visit = 0
  let lastBake: number | null = null
  return wafers.map((wafer) => {
    const set = setOn({ study, factors, settings: wafer.settings })
    if (set.bakeDisplay !== lastBake) visit += 1
    lastBake = set.bakeDisplay
    const before = place.get(wafer.session) ?? study.dummies
    place.set(wafer.session, before + 1)
    return {
      ...set,
      session: wafer.session,
      plateVisit: wafer.plateVisit ?? visit,
      lot: inventedLots[lots.indexOf(wafer.lot) % inventedLots.length] as string,
      openings: 1,
      waferSinceClean: before + 1,
      lidOpen: false,
    }
  })
}

/** What one wafer's settings make the tools do; the film's segment time holds its ramp, whatever the coater's does. */
export function setOn({
  study,
  factors,
  settings,
}: {
  study: StudyFigures
  factors: readonly Factor[]
  settings: Settings
}): Pick<SimulatedRun, 'speed' | 'ramp' | 'segmentTime' | 'bakeDisplay' | 'bakeTime'> {
  const { program, bakeTemperature, bakeTime } = programOfRun({
    study: { ...study, program: study.program.length > 0 ? study.program : [bareSegment] },
    factors,
    settings,
  })
  const main = mainSegment(program)
  const segment = program[main] ?? bareSegment
  const from = program[main - 1]?.rpm ?? 0
  const rampTime = (study.coater?.rampInside ?? true) ? 0 : Math.abs(segment.rpm - from) / segment.ramp
  return {
    speed: segment.rpm,
    ramp: segment.ramp,
    segmentTime: segment.time + rampTime,
    bakeDisplay: bakeTemperature,
    bakeTime,
  }
}

/** What is spun where the study has no program yet. */
const bareSegment = { rpm: 3000, ramp: 1000, time: 40 }
