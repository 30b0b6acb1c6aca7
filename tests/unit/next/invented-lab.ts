import { includedRows, tableOfRuns } from '../../../electron/engine/calls/study-table.ts'
import type { StudyData } from '../../../electron/engine/compute/study-data.ts'
import type { Factor, Reading, Run, Settings, Study } from '../../../shared/contract/things.ts'
import { summarizeRun } from '../../../shared/film/run-summary.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { type FilmParameters, usualFilm } from '../../../shared/process/invented-film.ts'
import { practiceReadings } from '../../../shared/rehearsal/practice-readings.ts'

/** A coated and measured wafer: its mean, nm, and its non-uniformity by the study's formula, percent. */
export type Wafer = { run: Run; mean: number; uneven: number }

/** A room with an invented film: what is coated in it is a study's data, as the program itself would hold them. */
export type Lab = {
  study: Study
  /** Coats and reads one wafer. A session has one visit to the plate unless they are told apart. */
  coat(settings: Settings, session: string, visit?: number): Wafer
  /** How many have been. */
  count(): number
  data(): StudyData
  /** The first wafer of a day without any deviation. */
  truth(settings: Settings): Pick<Wafer, 'mean' | 'uneven'>
  /** Share of good wafers among so many, each of its own day. */
  yieldAt(settings: Settings, goal: { target: number; tolerance: number }, days: number): number
}

const spreads = [
  'session',
  'plateC',
  'wafer',
  'speed',
  'bakeS',
  'bowl',
  'ring',
  'wedge',
  'site',
  'gaugeNm',
  'reloadNm',
  'humidity',
  'roomC',
] as const
/** Nothing varies. */
export const still = Object.fromEntries(spreads.map((name) => [name, 0])) as Pick<
  FilmParameters,
  (typeof spreads)[number]
>

/** Speed as in the demo study, and the ramp to it as far as its coater goes. */
const [speed, time] = demoScenario(1).factors as [Factor, Factor]
export const speedAlone = [speed]
export const speedAndRamp: Factor[] = [
  speed,
  { ...time, name: 'ramp', role: 'ramp', unit: 'rpm/s', low: 500, high: 3000, step: 100 },
]

/** The room of the demo study, with factors and a film of its own. */
export function inventedLab(options: {
  seed: number
  film: Partial<FilmParameters>
  factors: Factor[]
  uniformityLimit: number | null
  /** Wafers that settle the bowl before the first of a session; those of the demo unless given. */
  dummies?: number
}): Lab {
  const { seed, uniformityLimit, factors } = options
  const { study: input, coater, hotPlate, gauge } = demoScenario(1)
  const film = { ...usualFilm, ...options.film }
  const practice = { seed, film }
  const study: Study = {
    ...input,
    dummies: options.dummies ?? input.dummies,
    uniformityLimit,
    id: 'study',
    simulated: true,
    practice,
    archived: false,
    model: null,
    createdAt: '',
    changedAt: '',
    factors,
    stages: [],
    coater: { ...coater, id: 'coater' },
    hotPlate: { ...hotPlate, id: 'plate' },
    gauge: { ...gauge, id: 'gauge' },
    bottle: null,
  }
  const runs: Run[] = []
  const readings = new Map<string, Reading[]>()
  const visits: string[] = []
  const made = (settings: Settings, session: string, runOrder: number, ofSession = 1): Run => {
    const visit = `${session}/${ofSession}`
    if (!visits.includes(visit)) visits.push(visit)
    return {
      id: `run ${runOrder}`,
      studyId: study.id,
      stageId: 'stage',
      code: `W${String(runOrder).padStart(2, '0')}`,
      standardOrder: null,
      runOrder,
      block: 1,
      plateVisit: visits.indexOf(visit) + 1,
      kind: 'by hand',
      lot: 'A',
      settings,
      recipeId: null,
      state: 'measured',
      session,
      note: '',
      actual: {},
      steps: null,
      stepsDone: {},
      coatedAt: null,
      substrate: null,
      defect: null,
      excluded: null,
    }
  }
  const read = (run: Run, before: readonly Run[], of = practice): Reading[] =>
    practiceReadings({ study, practice: of, run, runs: [...before, run], visit: null }).map(
      ({ site, xMm, yMm, valueNm }) => ({
        id: `${run.id} ${site}`,
        runId: run.id,
        quantity: 'thickness',
        site,
        xMm,
        yMm,
        repeat: 1,
        takenAfter: null,
        opticalIndex: null,
        value: valueNm,
        text: String(valueNm),
        unit: 'nm',
        at: '',
        supersedes: null,
        excluded: null,
      }),
    )
  const measured = (run: Run, own: Reading[]): Wafer => {
    const { film } = summarizeRun(study, run, own)
    const uneven = film?.nonUniformity[study.uniformityFormula] ?? null
    if (film?.mean == null || uneven === null) throw new Error(`${run.code} has no film.`)
    return { run, mean: film.mean, uneven }
  }
  return {
    study,
    coat(settings, session, visit) {
      const run = made(settings, session, runs.length + 1, visit)
      const own = read(run, runs)
      runs.push(run)
      readings.set(run.id, own)
      return measured(run, own)
    },
    count: () => runs.length,
    data: () => ({
      study,
      data: includedRows(
        tableOfRuns(study, {
          runs,
          summaries: new Map(
            runs.map((run) => [run.id, summarizeRun(study, run, readings.get(run.id) ?? [])]),
          ),
          visits: [],
        }),
      ),
      dataHash: '',
    }),
    truth(settings) {
      const run = made(settings, 'truth', 1)
      return measured(run, read(run, [], { seed, film: { ...film, ...still } }))
    },
    yieldAt(settings, { target, tolerance }, days) {
      let good = 0
      for (let day = 1; day <= days; day++) {
        const run = made(settings, `later ${day}`, 1000 + day)
        const { mean, uneven } = measured(run, read(run, []))
        if (Math.abs(mean - target) <= tolerance && uneven <= (uniformityLimit ?? 1e9)) good++
      }
      return good / days
    },
  }
}
