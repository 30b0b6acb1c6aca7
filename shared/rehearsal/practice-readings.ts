import type { PlateVisit, Practice, Run, Study } from '../contract/things.ts'
import { studySites } from '../film/site-map.ts'
import { actualSettings } from '../process/actual-settings.ts'
import type { FilmParameters } from '../process/invented-film.ts'
import { type SimulatedReading, simulateReadings } from '../process/invented-readings.ts'
import { seeded, seedOf } from '../random.ts'
import { filmReaching, middleSettings } from './film-reaching.ts'
import { inventedLots, setOn } from './planned-wafers.ts'

/** The film that a plan is practised on: one on which its speeds reach the study's target, where it has both. */
export function practiceFilm(study: Study, changed: Partial<FilmParameters>): FilmParameters | null {
  const solved = study.factors.find(({ role, kind }) => role === 'speed' && kind === 'continuous')
  if (!solved || study.targetNm === null) return null
  return filmReaching({
    study,
    factors: study.factors,
    sites: studySites(study),
    solved,
    at: middleSettings(study.factors),
    lot: inventedLots[0] as string,
    targetNm: study.targetNm,
    changed,
  })
}

/**
 * What the gauge reads of one run of a practice study. What its session, its plate visit and its wafer deviate by is
 * drawn from the seed and their names alone, so that it does not depend on the order in which runs are coated.
 *
 * @param options.runs all runs of the study in run order, this one among them
 * @param options.visit what is recorded of its plate visit
 */
export function practiceReadings(options: {
  study: Study
  practice: Practice
  run: Run
  runs: readonly Run[]
  visit: PlateVisit | null
}): SimulatedReading[] {
  const { study, run, runs, visit } = options
  const { seed, film } = options.practice
  const { settings } = actualSettings({ ...study, ...run, visit })
  const set = setOn({ study, factors: study.factors, settings })
  const session = run.session ?? ''
  const plateVisit = run.plateVisit ?? set.bakeDisplay
  const place = runs.filter((other) => (other.session ?? '') === session && other.runOrder < run.runOrder)
  const lots = [...new Set([...study.lots, ...runs.map(({ lot }) => lot ?? '')])]
  const drawn = (...names: (string | number)[]) => seeded(seedOf(seed, ...names)).normal()
  const [readings = []] = simulateReadings({
    runs: [
      {
        ...set,
        session,
        plateVisit,
        lot: inventedLots[Math.max(0, lots.indexOf(run.lot ?? '')) % inventedLots.length] as string,
        openings: 1,
        waferSinceClean: run.actual.waferSinceClean ?? study.dummies + place.length + 1,
        lidOpen: run.actual.lidOpen ?? false,
      },
    ],
    sites: studySites(study),
    outline: study,
    random: seeded(seedOf(seed, 'wafer', run.code)),
    film,
    sessions: new Map([[session, film.session * drawn('session', session)]]),
    visits: new Map([[`${session}/${plateVisit}`, film.plateC * drawn('plate visit', session, plateVisit)]]),
  })
  return readings
}
