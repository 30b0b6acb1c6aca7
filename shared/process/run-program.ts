import type { Factor, FactorRole, Segment, Settings, StudyInput } from '../contract/things.ts'
import { mainSegment } from './spin-program.ts'

/** What a run sets on the tools: spin program, bake temperature in °C as displayed, bake time in s. */
export type RunProgram = { program: Segment[]; bakeTemperature: number; bakeTime: number }

/**
 * The study's program and bake with the settings of one run put in: the factor that plays the part of speed,
 * time or ramp replaces that number in the segment that sets the thickness. A setting that is missing or no
 * number leaves the study's own value.
 */
export function programOfRun(input: {
  study: Pick<StudyInput, 'program' | 'bakeTemperature' | 'bakeTime'>
  factors: readonly Factor[]
  settings: Settings
}): RunProgram {
  const { study, factors, settings } = input
  const setTo = (role: FactorRole): number | undefined => {
    const factor = factors.find((candidate) => candidate.role === role)
    const setting = factor && settings[factor.name]
    return typeof setting === 'number' ? setting : undefined
  }
  const main = mainSegment(study.program)
  return {
    program: study.program.map((segment, i) =>
      i === main
        ? {
            rpm: setTo('speed') ?? segment.rpm,
            ramp: setTo('ramp') ?? segment.ramp,
            time: setTo('time') ?? segment.time,
          }
        : { ...segment },
    ),
    bakeTemperature: setTo('bake temperature') ?? study.bakeTemperature,
    bakeTime: setTo('bake time') ?? study.bakeTime,
  }
}
