import type { Rehearsal, RehearsedStudy } from '../contract/results/rehearsal.ts'
import type { Factor, Settings } from '../contract/things.ts'
import { counted, quantile, spreadOf } from '../counted.ts'
import { studySites } from '../film/site-map.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { type FilmParameters, usualFilm } from '../process/invented-film.ts'
import { type Tell, untold } from '../progress.ts'
import { filmReaching, middleSettings } from './film-reaching.ts'
import { type PlannedWafer, type StudyFigures, simulatedRuns } from './planned-wafers.ts'
import { rehearsalModel } from './rehearsal-model.ts'
import { rehearsalWords } from './rehearsal-words.ts'
import { type RehearsalQuestion, rehearseOnce } from './rehearse-once.ts'

export type RehearsalOptions = {
  wafers: readonly PlannedWafer[]
  factors: readonly Factor[]
  study: StudyFigures
  targetNm: number
  toleranceNm: number | null
  /** The formula to fit; the largest usual one that the wafers carry unless given. */
  model?: string
  times: number
  seed: number
  /** Changes of the film. Without a reference thickness one is taken at which the planned speeds reach the target. */
  film?: Partial<FilmParameters>
  /** Settings of the factors besides speed at which the recipe is wanted; their middle unless given. */
  at?: Settings
}

/**
 * Carries a planned study out many times on the invented film, with seeds `seed`, `seed` + 1 and so on: readings are
 * simulated, summarized and fitted, the speed for the target is solved for, and what the film truly is at that speed
 * is looked up. A study answers its question where it gives a recipe within the planned speeds whose 95 % interval for
 * one wafer of another day lies within the tolerance.
 *
 * @param tell hears how many studies are done
 * @returns problems with code `noSpeed`, `noRuns`, or what is wrong with the model
 */
export function rehearse(options: RehearsalOptions, tell: Tell = untold): Answer<Rehearsal> {
  const made = questionOf(options)
  if (!made.ok) return made
  const question = made.value
  const { times, seed, toleranceNm, targetNm } = options
  const studies: RehearsedStudy[] = []
  for (let i = 0; i < times; i++) {
    const study = rehearseOnce(question, seed + i)
    if (!study.ok) return study
    studies.push(study.value)
    tell('studies rehearsed', i + 1, times)
  }
  return good(
    resultOf({ question, studies, targetNm, toleranceNm, times, seed, changed: options.film ?? {} }),
  )
}

function questionOf(options: RehearsalOptions): Answer<RehearsalQuestion> {
  const { wafers, factors, study } = options
  const solved = factors.find(({ role, kind }) => role === 'speed' && kind === 'continuous')
  if (!solved)
    return refuse('noSpeed', 'A rehearsal solves for the spin speed, which is no factor with a range here.')
  if (wafers.length === 0) return refuse('noRuns', 'There is no planned run to rehearse.')
  const at = { ...middleSettings(factors), ...options.at }
  const runs = simulatedRuns(wafers, { study, factors })
  const sites = studySites(study)
  const model = options.model ?? rehearsalModel(factors, wafers)
  const lot = lotAt(options, at, runs)
  const film = filmReaching({ ...options, sites, solved, at, lot, changed: options.film ?? {} })
  return good({ ...options, runs, sites, film, model, solved, at, lot })
}

/** The invented lot that stands for the lot of the recipe: the one its settings say, else that of the first wafer. */
function lotAt({ wafers, factors }: RehearsalOptions, at: Settings, runs: RehearsalQuestion['runs']): string {
  const factor = factors.find(({ role }) => role === 'lot')
  const same = factor === undefined ? 0 : wafers.findIndex(({ lot }) => lot === at[factor.name])
  return (runs[same] ?? runs[0])?.lot ?? 'A'
}

function resultOf({
  question,
  studies,
  changed,
  ...asked
}: {
  question: RehearsalQuestion
  studies: RehearsedStudy[]
  changed: Partial<FilmParameters>
} & Pick<Rehearsal, 'targetNm' | 'toleranceNm' | 'times' | 'seed'>): Rehearsal {
  const { model, solved, at, film, factors } = question
  const { targetNm, toleranceNm } = asked
  const numbers = (of: (study: RehearsedStudy) => number | null) =>
    studies.map(of).filter((value) => value !== null)
  const thickness = spreadOf(numbers(({ trueNm }) => trueNm))
  const { [solved.name]: _, ...others } = at
  const result = {
    ...asked,
    model,
    factor: solved.name,
    unit: solved.unit,
    at: others,
    film,
    studies,
    recipe: spreadOf(numbers(({ recipe }) => recipe)),
    trueThickness: thickness && { ...thickness, bias: thickness.mean - targetNm },
    withinTolerance:
      toleranceNm === null
        ? null
        : counted(studies.map(({ trueNm }) => trueNm !== null && Math.abs(trueNm - targetNm) <= toleranceNm)),
    recipes: counted(studies.map(({ recipe }) => recipe !== null)),
    answered: toleranceNm === null ? null : counted(studies.map(({ answers }) => answers)),
    halfWidths: {
      mean: quantile(
        numbers(({ halfWidthMean }) => halfWidthMean),
        0.5,
      ),
      anotherDay: quantile(
        numbers(({ halfWidthAnotherDay }) => halfWidthAnotherDay),
        0.5,
      ),
    },
    coverage: {
      mean: counted(studies.map(({ coversMean }) => coversMean)),
      anotherDay: counted(studies.map(({ coversAnotherDay }) => coversAnotherDay)),
      dayIgnored: counted(studies.map(({ coversDayIgnored }) => coversDayIgnored)),
    },
    problems: notes(factors, film, changed),
  }
  return { ...result, simulated: true, words: rehearsalWords(result) }
}

/** What the invented film does not take from the study. */
function notes(
  factors: readonly Factor[],
  film: FilmParameters,
  changed: Partial<FilmParameters>,
): Problem[] {
  const unknown = factors.filter(({ role }) => role === 'other').map(({ name }) => name)
  return [
    ...(unknown.length === 0
      ? []
      : [
          {
            code: 'withoutEffect',
            message: `The invented film knows nothing of ${unknown.join(', ')}: it makes no difference here.`,
          },
        ]),
    ...(changed.referenceNm === undefined && film.referenceNm !== usualFilm.referenceNm
      ? [
          {
            code: 'filmScaled',
            message:
              `The invented film is made ${Math.round(film.referenceNm)} nm thick at 3000 rpm, so that the planned ` +
              'speeds reach the target.',
          },
        ]
      : []),
  ]
}
