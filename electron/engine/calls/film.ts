import type { FilmSummary } from '../../../shared/contract/results/film.ts'
import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import { ofStage } from '../../../shared/film/reading-stage.ts'
import { siteKey } from '../../../shared/film/site-means.ts'
import { substrateOf } from '../../../shared/film/substrate.ts'
import { summarizeFilm } from '../../../shared/film/summarize.ts'

/** What is read unless another quantity is named; its values are in nm. */
export const thickness = 'thickness'

/** Films by the list of readings that they sum up; such a list is never changed. */
const films = new WeakMap<readonly Reading[], { question: string; film: FilmSummary | null }>()

/** The film of a run from its readings in force, or null where none is of thickness. */
export function filmOf(study: Study, run: Run, readings: readonly Reading[]): FilmSummary | null {
  const question = JSON.stringify([substrateOf(study), study.targetAfter, study.gauge, run.code])
  const known = films.get(readings)
  if (known?.question === question) return known.film
  const film = summaryOf(study, run, readings)
  films.set(readings, { question, film })
  return film
}

function summaryOf(study: Study, run: Run, readings: readonly Reading[]): FilmSummary | null {
  const film = readings.filter((reading) => reading.quantity === thickness)
  if (film.length === 0) return null
  const { counting, otherStages } = ofStage(film, study)
  return summarizeFilm({
    id: run.code,
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
  })
}

/** Means of the other quantities, by name, over the readings that are not excluded. */
export function otherMeans(readings: readonly Reading[]): Record<string, number> {
  const sums = new Map<string, { sum: number; n: number }>()
  for (const { quantity, value, excluded } of readings) {
    if (quantity === thickness || excluded !== null) continue
    const { sum, n } = sums.get(quantity) ?? { sum: 0, n: 0 }
    sums.set(quantity, { sum: sum + value, n: n + 1 })
  }
  return Object.fromEntries([...sums].map(([name, { sum, n }]) => [name, sum / n]))
}
