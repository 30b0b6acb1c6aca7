import { decimalsFor, fixed, type Shown, shownResponse, withUnit } from '../charts/format.ts'
import type { Study } from '../contract/things.ts'
import { fromNanometres } from '../units.ts'
import { shownSettings } from '../words.ts'

/** Thickness in the unit of the study. */
export const shownThickness = ({ thicknessUnit }: Pick<Study, 'thicknessUnit'>): Shown =>
  shownResponse('thickness', thicknessUnit)

/** The heading of a column of thicknesses: `Mean (nm)`. */
export const inUnit = (name: string, { thicknessUnit }: Pick<Study, 'thicknessUnit'>): string =>
  withUnit(name, thicknessUnit)

/** A thickness without its unit to the digits that its uncertainty allows; to a tenth of a nm where that is not known. */
export function thick(
  valueNm: number | null | undefined,
  study: Pick<Study, 'thicknessUnit'>,
  uncertaintyNm?: number | null,
): string {
  if (valueNm === null || valueNm === undefined) return '–'
  const by = fromNanometres(uncertaintyNm ?? 1, study.thicknessUnit)
  return fixed(fromNanometres(valueNm, study.thicknessUnit), decimalsFor(by))
}

/** An interval to the digits that its width allows. */
export const span = ([low, high]: readonly [number, number], study: Pick<Study, 'thicknessUnit'>): string =>
  `${thick(low, study, (high - low) / 4)} to ${thick(high, study, (high - low) / 4)}`

/** Settings in one line, each with its unit. */
export const settingsLine = (
  settings: Parameters<typeof shownSettings>[0],
  { factors }: Pick<Study, 'factors'>,
) =>
  shownSettings(settings, factors)
    .map(({ name, value }) => `${name} ${value}`)
    .join(', ')

/** A moment of the database as day and time, in Coordinated Universal Time: 2026-03-02 14:05 UTC. */
export const moment = (iso: string): string =>
  iso === '' ? '–' : `${iso.slice(0, 16).replace('T', ' ')} UTC`

/** The first sixteen signs of a hash. */
export const shortHash = (hash: string): string => hash.slice(0, 16)
