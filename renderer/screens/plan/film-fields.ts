import type { FilmParameters } from '../../../shared/process/invented-film.ts'

/** A number of the invented film that a person may change; shares are shown in percent. */
export type FilmField = { name: keyof FilmParameters; label: string; unit: string; share?: boolean }

export const filmFields: FilmField[] = [
  { name: 'referenceNm', label: 'Thickness at 3000 rpm', unit: 'nm' },
  { name: 'exponent', label: 'Exponent of the speed', unit: '' },
  { name: 'dryingTime', label: 'Drying time at 3000 rpm', unit: 's' },
  { name: 'session', label: 'Day to day', unit: '%', share: true },
  { name: 'plateC', label: 'Plate, each setting', unit: '°C' },
  { name: 'wafer', label: 'Wafer to wafer', unit: '%', share: true },
  { name: 'site', label: 'Site to site', unit: '%', share: true },
  { name: 'gaugeNm', label: 'Gauge, each reading', unit: 'nm' },
  { name: 'reloadNm', label: 'Gauge, each loading', unit: 'nm' },
  { name: 'speed', label: 'Speed of the coater', unit: '%', share: true },
  { name: 'bakeS', label: 'Bake time', unit: 's' },
  { name: 'humidity', label: 'Room humidity', unit: '%RH' },
  { name: 'roomC', label: 'Room temperature', unit: '°C' },
  { name: 'lotB', label: 'Second lot', unit: '%', share: true },
  { name: 'lotC', label: 'Third lot', unit: '%', share: true },
]

/** Tidy percent of a share. */
export const percentOf = (share: number) => Number((100 * share).toPrecision(10))
