import type { Factor, Settings } from '../contract/things.ts'
import { settle } from '../design/code.ts'
import type { Site } from '../film/site-map.ts'
import { type FilmParameters, usualFilm } from '../process/invented-film.ts'
import { type StudyFigures, setOn } from './planned-wafers.ts'
import { trueFilm } from './true-film.ts'

/**
 * The invented film with what is changed of it. Unless its reference thickness is among that, it is made so thick that
 * the target lies in the middle of the planned speeds, where these would not reach it.
 *
 * @param options.solved the factor that sets the speed
 * @param options.at settings of the other factors
 * @param options.lot the invented lot
 */
export function filmReaching(options: {
  study: StudyFigures
  factors: readonly Factor[]
  sites: readonly Site[]
  solved: Factor
  at: Settings
  lot: string
  targetNm: number
  changed: Partial<FilmParameters>
}): FilmParameters {
  const { study, factors, sites, solved, at, lot, targetNm, changed } = options
  const film = { ...usualFilm, ...changed }
  if (changed.referenceNm !== undefined) return film
  const filmAt = (speed: number) =>
    trueFilm(
      { ...setOn({ study, factors, settings: { ...at, [solved.name]: speed } }), lot },
      { sites, outline: study, film },
    )
  const [low, high] = [solved.low as number, solved.high as number]
  // Near the ends the target would be missed by chance.
  const reached = targetNm < filmAt(low) * 0.95 && targetNm > filmAt(high) * 1.05
  if (reached) return film
  return { ...film, referenceNm: film.referenceNm * (targetNm / filmAt(Math.sqrt(low * high))) }
}

/** Every factor in its middle, as the tool can be set; the first level of one without a range. */
export const middleSettings = (factors: readonly Factor[]): Settings =>
  Object.fromEntries(
    factors.map((factor) => [
      factor.name,
      factor.kind === 'categorical' ? (factor.levelNames[0] ?? '') : settle(factor, 0).setting,
    ]),
  )
