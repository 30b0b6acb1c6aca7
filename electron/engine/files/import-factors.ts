import type { Factor } from '../../../shared/contract/things.ts'
import { parseNumber } from '../../../shared/numbers.ts'
import type { Problem } from '../../../shared/problem.ts'
import { roleOf } from './column-meaning.ts'
import type { CsvTable } from './csv.ts'
import { noSetting } from './import-rows.ts'
import type { ImportRun } from './import-runs.ts'
import type { MeantColumn } from './row-cells.ts'

/** Columns of factors whose settings are words: by the study's factor of that name, else where few are numbers. */
export function textFactors(
  table: CsvTable,
  columns: readonly MeantColumn[],
  known: readonly Factor[],
): Set<string> {
  const texts = columns.filter((column) => {
    if (column.means !== 'factor') return false
    const factor = known.find(({ name }) => name === column.name)
    if (factor) return factor.kind === 'categorical'
    const cells = table.rows
      .map(({ cells }) => (cells[column.index] as string).trim())
      .filter((cell) => cell !== '' && cell !== noSetting)
    const numbers = cells.filter((cell) => parseNumber(cell, { decimal: column.decimal }).ok)
    return numbers.length * 2 < cells.length
  })
  return new Set(texts.map(({ name }) => name))
}

/**
 * Factors that the study does not have yet, as the file shows them: with the range or the levels of their
 * settings. Levels of a known factor that are new are added to it.
 */
export function newFactors(
  columns: readonly MeantColumn[],
  runs: readonly ImportRun[],
  known: readonly Factor[],
): Factor[] {
  return columns
    .filter(({ means }) => means === 'factor')
    .flatMap((column): Factor[] => {
      const settings = runs.flatMap((run) => run.settings[column.name] ?? [])
      const factor = known.find(({ name }) => name === column.name)
      if (!factor) return settings.length > 0 ? [seenFactor(column, settings)] : []
      const added =
        factor.kind === 'categorical'
          ? distinct(settings.map(String)).filter((level) => !factor.levelNames.includes(level))
          : []
      return added.length > 0 ? [{ ...factor, levelNames: [...factor.levelNames, ...added] }] : []
    })
}

function seenFactor(column: MeantColumn, settings: readonly (number | string)[]): Factor {
  const numbers = settings.filter((setting) => typeof setting === 'number')
  const isText = numbers.length === 0
  return {
    name: column.name,
    role: roleOf(column).role,
    unit: column.unit,
    kind: isText ? 'categorical' : 'continuous',
    low: isText ? null : numbers.reduce((a, b) => Math.min(a, b)),
    high: isText ? null : numbers.reduce((a, b) => Math.max(a, b)),
    levels: Math.min(50, Math.max(2, distinct(settings).length)),
    levelNames: isText ? distinct(settings.map(String)) : [],
    step: null,
    scale: 'linear',
    hardToChange: false,
  }
}

/** Units that say the same. */
const sameUnits: Record<string, string> = {
  c: '°C',
  degc: '°C',
  'deg c': '°C',
  '1/min': 'rpm',
  'min-1': 'rpm',
  sec: 's',
  seconds: 's',
}
const plainUnit = (unit: string) => sameUnits[unit.toLowerCase()] ?? unit

/** Columns whose unit is not that of the study's factor: nothing is converted. */
export function otherUnits(columns: readonly MeantColumn[], known: readonly Factor[]): Problem[] {
  return columns.flatMap((column): Problem[] => {
    const factor = column.means === 'factor' ? known.find(({ name }) => name === column.name) : undefined
    if (!factor || column.unit === '' || plainUnit(column.unit) === plainUnit(factor.unit)) return []
    return [
      {
        code: 'otherUnit',
        message:
          `Column ‘${column.column}’ is in ${column.unit}, the factor ${factor.name} in ` +
          `${factor.unit || 'no unit'}. Write the column in the factor's unit.`,
        column: column.column,
      },
    ]
  })
}

const distinct = <T>(values: readonly T[]): T[] => [...new Set(values)]
