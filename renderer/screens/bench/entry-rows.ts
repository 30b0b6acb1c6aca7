import type { FilmSummary } from '../../../shared/contract/results/film.ts'
import type { Reading, Study } from '../../../shared/contract/things.ts'
import { ofStage } from '../../../shared/film/reading-stage.ts'
import { siteKey } from '../../../shared/film/site-means.ts'
import { substrateOf } from '../../../shared/film/substrate.ts'
import { summarizeFilm } from '../../../shared/film/summarize.ts'
import { fromNanometres, parseThickness, type ThicknessUnit, withoutUnit } from '../../../shared/units.ts'
import { type Spot, spotKey } from './spot.ts'
import { words } from './words/read.ts'

/** One spot of the entry, what it reads, and what is being typed over it. The site is null where only a position is known. */
export type EntryRow = Spot & {
  xMm: number | null
  yMm: number | null
  reading: Reading | null
  /** What the field shows. */
  text: string
  /** Thickness in nm of the draft if it can be read, else of the reading. */
  valueNm: number | null
  /** What is wrong with the draft. */
  problem: string | null
  /** True where what is typed differs from the reading in force. */
  changes: boolean
}

type Sites = { site: number; xMm: number; yMm: number }[]

/**
 * The lines of the entry at the stage that is being read. Where all readings belong to the site map these are its sites,
 * as often as they are to be read; readings brought in by position alone (a map from a gauge) are lines of their own, and
 * then the map's empty sites are left out.
 */
export function entryRows(options: {
  sites: Sites
  readings: Reading[]
  study: Pick<Study, 'targetAfter' | 'readAfter'>
  /** How often a site is read. */
  repeats: number
  drafts: (spot: Spot) => string | undefined
  unit: ThicknessUnit
}): EntryRow[] {
  const { study, repeats } = options
  const film = options.readings.filter((reading) => reading.quantity === 'thickness')
  const thickness = ofStage(film, study, study.readAfter).counting
  const bySpot = new Map(thickness.map((reading) => [spotKey(reading), reading]))
  const known = new Set<number | null>(options.sites.map((site) => site.site))
  const others = thickness.filter((reading) => !known.has(reading.site))
  const onMap = options.sites
    .flatMap((site) => Array.from({ length: repeats }, (_, k) => ({ ...site, repeat: k + 1 })))
    .map((spot) => rowOf(spot, bySpot.get(spotKey(spot)) ?? null, options.drafts(spot), options.unit))
    .filter((row) => others.length === 0 || row.reading !== null)
  return [
    ...onMap,
    ...others.map((reading) => rowOf({ ...reading, xMm: null, yMm: null }, reading, undefined, options.unit)),
  ]
}

function rowOf(
  spot: Spot & { xMm: number | null; yMm: number | null },
  reading: Reading | null,
  draft: string | undefined,
  unit: ThicknessUnit,
): EntryRow {
  const { site, repeat } = spot
  const place = { site, repeat, xMm: reading?.xMm ?? spot.xMm, yMm: reading?.yMm ?? spot.yMm }
  const stands = reading === null ? '' : textOf(reading, unit)
  if (draft === undefined || draft.trim() === stands)
    return { ...place, reading, text: stands, valueNm: reading?.value ?? null, problem: null, changes: false }
  if (draft.trim() === '')
    return {
      ...place,
      reading,
      text: draft,
      valueNm: reading?.value ?? null,
      problem: reading ? words.notDeleted : null,
      changes: false,
    }
  const typed = parseThickness(draft, { unit })
  return {
    ...place,
    reading,
    text: draft,
    valueNm: typed.ok ? typed.value.valueNm : (reading?.value ?? null),
    problem: typed.ok ? null : (typed.problems[0]?.message ?? null),
    changes: true,
  }
}

/** The number as it was typed where its unit is the one in use, else the same value in that unit; without a unit. */
export function textOf(reading: Pick<Reading, 'value' | 'text' | 'unit'>, unit: ThicknessUnit): string {
  if (reading.unit === unit) return withoutUnit(reading.text)
  return String(Number(fromNanometres(reading.value, unit).toPrecision(10)))
}

/** The film as the lines say it, drafts included; a new number on a site lifts the exclusion of the old one. */
export function liveFilm(rows: EntryRow[], study: Study, readings: readonly Reading[]): FilmSummary {
  const film = readings.filter(({ quantity }) => quantity === 'thickness')
  return summarizeFilm({
    id: '',
    ...substrateOf(study),
    gauge: study.gauge,
    otherStages: ofStage(film, study, study.readAfter).otherStages,
    readings: rows.flatMap((row, index) =>
      row.valueNm === null
        ? []
        : [
            {
              row: index + 1,
              site: siteKey(row),
              x: row.xMm,
              y: row.yMm,
              value: row.valueNm,
              excluded: row.changes ? null : (row.reading?.excluded ?? null),
            },
          ],
    ),
  })
}
