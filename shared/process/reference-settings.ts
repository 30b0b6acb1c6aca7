import type { Factor, Settings, StudyInput } from '../contract/things.ts'
import { settle } from '../design/code.ts'
import { programOfRun } from './run-program.ts'
import { mainSegment } from './spin-program.ts'

/**
 * The settings of a reference wafer: what the study's own recipe says of each factor, so that it is the same wafer in
 * every session, whatever the design is. The lot is the study's first; of a factor that the recipe does not know,
 * the middle of its range or its first level.
 */
export function referenceSettings(
  study: Pick<StudyInput, 'program' | 'bakeTemperature' | 'bakeTime' | 'lots'>,
  factors: readonly Factor[],
): Settings {
  const { program, bakeTemperature, bakeTime } = programOfRun({ study, factors, settings: {} })
  const main = program[mainSegment(program)]
  const settingOf = (factor: Factor): number | string => {
    const named = factor.levelNames.find((level) => level === study.lots[0])
    if (factor.kind === 'categorical') return (factor.role === 'lot' && named) || (factor.levelNames[0] ?? '')
    switch (factor.role) {
      case 'speed':
        return main?.rpm ?? middle(factor)
      case 'time':
        return main?.time ?? middle(factor)
      case 'ramp':
        return main?.ramp ?? middle(factor)
      case 'bake temperature':
        return bakeTemperature
      case 'bake time':
        return bakeTime
      case 'lot':
      case 'other':
        return middle(factor)
    }
  }
  return Object.fromEntries(
    factors.map((factor) => {
      const setting = settingOf(factor)
      // A time of 0 s has no place on a log scale.
      const none = factor.scale === 'log' && typeof setting === 'number' && setting <= 0
      return [factor.name, none ? middle(factor) : setting]
    }),
  )
}

const middle = (factor: Factor) => settle(factor, 0).setting
