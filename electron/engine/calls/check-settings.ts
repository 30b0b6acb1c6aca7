import type { Factor, Settings } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'

/** Columns of a study's table that are no factors; a factor of that name could not be told apart. */
export const reservedNames = ['thickness', 'session', 'block', 'plateVisit', 'run', 'site']

/** What is wrong with the names of factors: those that the study's table has for something else. */
export function checkFactorNames(factors: readonly Factor[]): Problem[] {
  return factors.flatMap((factor): Problem[] => {
    const taken = reservedNames.includes(factor.name) || (factor.name === 'lot' && factor.role !== 'lot')
    if (!taken) return []
    return [
      {
        code: 'reservedName',
        message: `‘${factor.name}’ means something else here. Give the factor another name.`,
        column: factor.name,
      },
    ]
  })
}

/** What is wrong with the settings of a run: one for each factor, a number or one of its levels. */
export function checkSettings(factors: readonly Factor[], settings: Settings): Problem[] {
  const unknown = Object.keys(settings).filter((name) => !factors.some((factor) => factor.name === name))
  return [
    ...unknown.map((name) => ({
      code: 'noSuchFactor',
      message: `This study has no factor ‘${name}’.`,
      column: name,
    })),
    ...factors.flatMap((factor) => checkSetting(factor, settings[factor.name])),
  ]
}

function checkSetting(factor: Factor, setting: number | string | undefined): Problem[] {
  const column = factor.name
  if (setting === undefined)
    return [{ code: 'missingSetting', message: `${column}: the setting is missing.`, column }]
  if (factor.kind === 'continuous' && typeof setting !== 'number')
    return [{ code: 'notANumber', message: `${column}: ‘${setting}’ is no number.`, column }]
  if (factor.kind === 'categorical' && !factor.levelNames.includes(String(setting)))
    return [
      {
        code: 'noSuchLevel',
        message: `${column}: ‘${setting}’ is none of ${factor.levelNames.join(', ')}.`,
        column,
      },
    ]
  return []
}
