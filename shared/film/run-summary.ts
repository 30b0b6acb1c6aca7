import type { FilmSummary } from '../contract/results/film.ts'
import type { Reading, Run, Study } from '../contract/things.ts'
import { sitesRead } from './fully-read.ts'
import { type ReadHow, readHow } from './reading-problems.ts'
import { ofStage, thickness } from './reading-stage.ts'
import { siteKey } from './site-means.ts'
import { substrateOf } from './substrate.ts'
import { summarizeFilm } from './summarize.ts'

/** What the readings in force of a run come to: all that lists, fits and comparisons need to know of them. */
export type RunSummary = {
  readings: number
  /** How many of them are excluded. */
  leftOut: number
  /** Sites of the study's map that are read; null where readings have no site. */
  sitesRead: number | null
  /** Of thickness; null where none is read. */
  film: FilmSummary | null
  /** What else was read, in the order of the readings: the unit of the first, the mean of those that are not excluded. */
  others: { quantity: string; unit: string; mean: number | null }[]
} & ReadHow

/** What of a study a summary depends on. */
export type SummarizedStudy = Pick<
  Study,
  | 'targetAfter'
  | 'gauge'
  | 'substrateShape'
  | 'diameterMm'
  | 'widthMm'
  | 'heightMm'
  | 'edgeExclusionMm'
  | 'siteMap'
  | 'lineDirection'
  | 'ownSites'
>

/**
 * Which summaries there have been: it rises whenever another one is made of the same readings, so that none that an
 * earlier program has kept is taken for one of this program. A test says when that is.
 */
export const summaryEdition = 1

/** All that a summary depends on beside the readings, as a text: summaries of the same one can be compared. */
export function summaryQuestion(study: SummarizedStudy): string {
  const { targetAfter, gauge, siteMap, lineDirection, ownSites } = study
  const { repeatability, reload, calibration, origins } = gauge ?? {}
  return JSON.stringify([
    ...[summaryEdition, targetAfter, substrateOf(study), siteMap, lineDirection, ownSites],
    ...[repeatability, reload, calibration, origins],
  ])
}

/** Of a run without readings. */
export const nothingRead: RunSummary = {
  readings: 0,
  leftOut: 0,
  sitesRead: null,
  film: null,
  others: [],
  otherStages: [],
  opticalIndices: [],
}

/** Sums up the readings in force of a run, some of which may be excluded. */
export function summarizeRun(
  study: SummarizedStudy,
  { code }: Pick<Run, 'code'>,
  readings: readonly Reading[],
): RunSummary {
  const film = readings.filter(({ quantity }) => quantity === thickness)
  const { counting, otherStages } = ofStage(film, study)
  return {
    readings: readings.length,
    leftOut: readings.filter(({ excluded }) => excluded !== null).length,
    sitesRead: sitesRead(study, counting),
    film:
      film.length === 0
        ? null
        : summarizeFilm({
            id: code,
            otherStages,
            readings: counting.map(({ site, xMm, yMm, value, excluded }, i) => ({
              row: i + 1,
              site: siteKey({ site, xMm, yMm }),
              x: xMm,
              y: yMm,
              value,
              excluded,
            })),
            ...substrateOf(study),
            gauge: study.gauge,
          }),
    others: otherMeans(readings),
    ...readHow(study, film),
  }
}

function otherMeans(readings: readonly Reading[]): RunSummary['others'] {
  const sums = new Map<string, { unit: string; sum: number; n: number }>()
  for (const { quantity, unit, value, excluded } of readings) {
    if (quantity === thickness) continue
    const so = sums.get(quantity) ?? { unit, sum: 0, n: 0 }
    const counts = excluded === null ? 1 : 0
    sums.set(quantity, { ...so, sum: so.sum + counts * value, n: so.n + counts })
  }
  return [...sums].map(([quantity, { unit, sum, n }]) => ({ quantity, unit, mean: n > 0 ? sum / n : null }))
}

/** The mean of a response over the readings of a run that count, in its unit; null where there is none. */
export function meanOf({ film, others }: RunSummary, response: string): number | null {
  if (response === thickness) return film?.mean ?? null
  return others.find(({ quantity }) => quantity === response)?.mean ?? null
}

/** Quantities other than thickness that were read in any of the runs, in that order, each with the unit of its first reading. */
export function unitsOf(summaries: Iterable<RunSummary>): Map<string, string> {
  const units = new Map<string, string>()
  for (const { others } of summaries)
    for (const { quantity, unit } of others) if (!units.has(quantity)) units.set(quantity, unit)
  return units
}
