import type { Reading } from '../contract/things.ts'
import { readSites } from '../film/read-sites.ts'
import { fromNanometres, type ThicknessUnit } from '../units.ts'
import type { MapSite } from './wafer-marks.ts'

/** Kept readings as the marks of a map, in the unit; repeats at one site are one mark with their mean. */
export function mapSites(readings: readonly Reading[], unit: ThicknessUnit): MapSite[] {
  const rows = readings.map((reading) => ({
    ...reading,
    valueNm: reading.value,
    reading,
    changes: false,
    problem: null,
  }))
  return readSites(rows).flatMap(({ xMm, yMm, valueNm, ...site }) =>
    xMm === null || yMm === null || valueNm === null
      ? []
      : [{ ...site, xMm, yMm, value: fromNanometres(valueNm, unit) }],
  )
}
