import type { RehearsedStudy } from '../contract/results/rehearsal.ts'
import type { Factor, Settings } from '../contract/things.ts'
import { roundToStep } from '../design/code.ts'
import type { Site } from '../film/site-map.ts'
import { summarizeFilm } from '../film/summarize.ts'
import { type FittedModel, fitModel } from '../model/fit.ts'
import { fitOverDays } from '../model/over-days.ts'
import type { Table } from '../model/table.ts'
import { settingAlone, withFrame } from '../model/target-setting.ts'
import { type Answer, good } from '../problem.ts'
import type { FilmParameters } from '../process/invented-film.ts'
import { type SimulatedReading, type SimulatedRun, simulateReadings } from '../process/invented-readings.ts'
import { seeded } from '../random.ts'
import { type PlannedWafer, type StudyFigures, setOn } from './planned-wafers.ts'
import { settledBowl, trueFilm } from './true-film.ts'

/** What every rehearsal of one plan shares. */
export type RehearsalQuestion = {
  wafers: readonly PlannedWafer[]
  runs: readonly SimulatedRun[]
  study: StudyFigures
  factors: readonly Factor[]
  sites: readonly Site[]
  film: FilmParameters
  model: string
  /** The factor to solve for, and the settings of the others. */
  solved: Factor
  at: Settings
  /** The invented lot at those settings. */
  lot: string
  targetNm: number
  toleranceNm: number | null
}

/** A day that is not among those of the plan. */
const anotherDay = '\u0000another day'

/**
 * Coats, reads, fits and solves one study on the invented film, and holds its recipe and its intervals against what
 * the film truly is.
 *
 * @returns problems where the model does not suit the plan
 */
export function rehearseOnce(question: RehearsalQuestion, seed: number): Answer<RehearsedStudy> {
  const { runs, sites, study, film, model, solved, at, targetNm, toleranceNm } = question
  const random = seeded(seed)
  const sessions = new Map<string, number>()
  const readings = simulateReadings({ runs, sites, outline: study, random, film, sessions })
  const table = tableOf(question, readings)
  const fitted = fitModel({ table, model })
  if (!fitted.ok) return fitted
  const recipe = recipeOf(fitted.value, question)
  if (recipe === null) return good({ ...nothing, seed, answers: toleranceNm === null ? null : false })

  const settings = { ...at, [solved.name]: recipe }
  const set = { ...setOn({ ...question, settings }), lot: question.lot }
  const trueNm = trueFilm(set, { sites, outline: study, film })
  const lastDay = sessions.get(runs.at(-1)?.session ?? '') ?? 0
  const [wafer = []] = simulateReadings({
    runs: [
      {
        ...set,
        session: anotherDay,
        plateVisit: 0,
        openings: 1,
        waferSinceClean: settledBowl,
        lidOpen: false,
      },
    ],
    sites,
    outline: study,
    random,
    film,
  })
  const waferNm = meanOf(wafer, study)

  const overDays = fitOverDays({ table, model, thickness: true })
  const predictions = overDays.ok ? overDays.value.predict([settings]) : []
  const same = predictions.find(({ scope }) => scope === 'sameSession') ?? null
  const other = predictions.find(({ scope }) => scope === 'otherSession') ?? null
  const [dayIgnored = null] = fitted.value.predict([settings])
  return good({
    seed,
    recipe,
    trueNm,
    halfWidthMean: same && halfWidth(same.confidence),
    halfWidthAnotherDay: other && halfWidth(other.prediction),
    coversMean: same && inside(trueNm * (1 + lastDay), same.confidence),
    coversAnotherDay: other && waferNm !== null ? inside(waferNm, other.prediction) : null,
    coversDayIgnored: dayIgnored && waferNm !== null ? inside(waferNm, dayIgnored.prediction) : null,
    answers:
      toleranceNm === null
        ? null
        : other !== null &&
          other.prediction[0] >= targetNm - toleranceNm &&
          other.prediction[1] <= targetNm + toleranceNm,
  })
}

const nothing = {
  recipe: null,
  trueNm: null,
  halfWidthMean: null,
  halfWidthAnotherDay: null,
  coversMean: null,
  coversAnotherDay: null,
  coversDayIgnored: null,
}

const halfWidth = ([lower, upper]: readonly [number, number]) => (upper - lower) / 2
const inside = (value: number, [lower, upper]: readonly [number, number]) => lower <= value && value <= upper

/** The setting at which the fit reaches the target, as the tool can be set; null outside what was planned. */
function recipeOf(model: FittedModel, { solved, at, targetNm }: RehearsalQuestion): number | null {
  const setting = settingAlone(withFrame(model), { factor: solved.name, target: targetNm, at })
  if (setting === null) return null
  const [low, high] = [solved.low as number, solved.high as number]
  return setting < low || setting > high ? null : roundToStep(solved, setting)
}

function tableOf(
  { wafers, runs, factors, study }: RehearsalQuestion,
  readings: readonly SimulatedReading[][],
): Table {
  const lots = factors.some(({ name }) => name === 'lot')
  return {
    rows: wafers.length,
    columns: [
      ...factors.map(({ name, unit }) => ({
        name,
        unit,
        values: wafers.map(({ settings }) => settings[name] ?? null),
      })),
      ...(lots ? [] : [{ name: 'lot', values: wafers.map(({ lot }) => lot) }]),
      { name: 'session', values: wafers.map(({ session }) => session) },
      { name: 'plateVisit', values: runs.map(({ plateVisit }) => String(plateVisit)) },
      { name: 'thickness', unit: 'nm', values: readings.map((own) => meanOf(own, study)) },
    ],
  }
}

const meanOf = (readings: readonly SimulatedReading[], study: StudyFigures): number | null =>
  summarizeFilm({
    ...study,
    id: '',
    readings: readings.map(({ site, xMm, yMm, valueNm }) => ({ row: site, x: xMm, y: yMm, value: valueNm })),
  }).mean
