import type { Factor, Settings } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'
import { actualColumns } from '../files/actual-columns.ts'
import { nonUniformity, shapeResponses } from './study-table.ts'

/** Columns of a study's table and of its exports; a factor or another response of that name could not be told apart. */
const reservedNames: readonly string[] = [
  'run',
  'stage',
  'run order',
  'standard order',
  'block',
  'plate visit',
  'plateVisit',
  'kind',
  'state',
  'lot',
  'session',
  'note',
  'run excluded',
  'defect',
  'substrate code',
  'steps',
  'steps done',
  'coated at',
  ...actualColumns.map(({ header }) => header),
  'readings count',
  'simulated',
  'thickness',
  nonUniformity,
  ...shapeResponses,
]

/** What is wrong with the names of factors: those that the study's table has for something else. */
export function checkFactorNames(factors: readonly Factor[], quantities: readonly string[] = []): Problem[] {
  return factors.flatMap(({ name, role }): Problem[] => {
    if (name === 'lot' && role === 'lot') return []
    return reservedNames.includes(name) || quantities.includes(name) ? [reserved(name, 'factor')] : []
  })
}

/** The same of what is read besides thickness. */
export function checkQuantities(names: readonly string[], factors: readonly Factor[]): Problem[] {
  return names
    .filter((name) => name !== 'thickness')
    .filter((name) => reservedNames.includes(name) || factors.some((factor) => factor.name === name))
    .map((name) => reserved(name, 'response'))
}

function reserved(name: string, what: string): Problem {
  return {
    code: 'reservedName',
    message: `‘${name}’ means something else here. Give the ${what} another name.`,
    column: name,
  }
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
