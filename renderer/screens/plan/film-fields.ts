import type { FilmParameters } from '../../../shared/process/invented-film.ts'
import { words } from './words.ts'

/** A number of the invented film that a person may change; shares are shown in percent. */
export type FilmField = { name: keyof FilmParameters; label: string; unit: string; share?: boolean }

export const filmFields: FilmField[] = [
  { name: 'referenceNm', label: words.film.fields.referenceNm, unit: 'nm' },
  { name: 'exponent', label: words.film.fields.exponent, unit: '' },
  { name: 'dryingTime', label: words.film.fields.dryingTime, unit: 's' },
  { name: 'session', label: words.film.fields.session, unit: '%', share: true },
  { name: 'plateC', label: words.film.fields.plateC, unit: '°C' },
  { name: 'wafer', label: words.film.fields.wafer, unit: '%', share: true },
  { name: 'site', label: words.film.fields.site, unit: '%', share: true },
  { name: 'gaugeNm', label: words.film.fields.gaugeNm, unit: 'nm' },
  { name: 'reloadNm', label: words.film.fields.reloadNm, unit: 'nm' },
  { name: 'speed', label: words.film.fields.speed, unit: '%', share: true },
  { name: 'bakeS', label: words.film.fields.bakeS, unit: 's' },
  { name: 'humidity', label: words.film.fields.humidity, unit: '%RH' },
  { name: 'roomC', label: words.film.fields.roomC, unit: '°C' },
  { name: 'lotB', label: words.film.fields.lotB, unit: '%', share: true },
  { name: 'lotC', label: words.film.fields.lotC, unit: '%', share: true },
]

/** Tidy percent of a share. */
export const percentOf = (share: number) => Number((100 * share).toPrecision(10))
