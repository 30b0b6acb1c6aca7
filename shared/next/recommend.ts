import type { Choice, Recommendation } from '../contract/results/next.ts'
import { toMeasured } from '../model/response.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { partOf, untold } from '../progress.ts'
import { both } from './both.ts'
import { knownAlong } from './known-along.ts'
import { learn } from './learn.ts'
import { inTolerance, reach } from './reach.ts'
import { type Place, settingsAt } from './region.ts'
import { search } from './search.ts'
import {
  type Aim,
  inWords,
  type PlaceOutlook,
  type RecommendOptions,
  responseInWords,
  type Work,
  workFor,
} from './work.ts'

export type { Aim, RecommendOptions } from './work.ts'

const choose: Record<Aim, (work: Work) => Choice[]> = { reach, learn, both }

/**
 * The settings of a region to run next, each with its prediction, chance, cost and reason:
 *
 * - `reach`: the best chance to be in tolerance, by the predictive t distribution. Among practically equal
 *   chances the smaller variance of the mean, then no change of the plate, then near to what was tested.
 * - `learn`: the run that takes most from the prediction variance of the mean averaged over the region.
 * - `both`: the largest expected improvement on the smallest squared distance to the target predicted so far.
 *
 * Alternatives of an aim lie apart; where the region holds fewer, there are fewer.
 *
 * @returns a problem with code `outOfReach` where no setting of the region is predicted in tolerance and an aim
 *   is to reach it
 */
export function recommend(options: RecommendOptions): Answer<Recommendation> {
  const { aims = ['reach', 'learn', 'both'] } = options
  const prepared = workFor(options)
  if (!prepared.ok) return prepared
  const work = prepared.value
  const closest = search({ ...work, tell: untold, score: nearness(work) })[0]
  if (closest === undefined || closest.score === Number.NEGATIVE_INFINITY)
    return { ok: false, problems: work.model.cannotPredict([settingsAt(work.axes, closest?.place ?? [])]) }
  const reachable = inTolerance(work, closest.place)
  // Where the target cannot be reached a run can still teach, so that it comes into reach or is given up for good.
  const possible = reachable ? aims : aims.filter((aim) => aim === 'learn')
  const missed = possible.length < aims.length ? outOfReach(work, closest.place) : null
  if (possible.length === 0 && missed) return missed
  const choices = possible.flatMap((aim, i) =>
    choose[aim]({ ...work, tell: partOf(work.tell, i, possible.length) }),
  )
  return good({
    choices,
    known: knownAlong(work, choices),
    problems: missed ? missed.problems : [],
  })
}

/** Distance of the estimate from the target, negative. */
const nearness = (work: Work) => (place: Place) => {
  const outlook = work.at(place)
  return outlook === null ? Number.NEGATIVE_INFINITY : -Math.abs(outlook.mean - work.goal.target)
}

function outOfReach({ model, predictor, axes, options, at }: Work, place: Place) {
  const settings = settingsAt(axes, place)
  const { mean, variance } = at(place) as PlaceOutlook
  const standardError = model.predict([settings])[0]?.standardErrorOfMean ?? Math.sqrt(variance)
  const words = responseInWords(options)
  const nearest = words.about(toMeasured(predictor.scale, mean), standardError)
  return refuse(
    'outOfReach',
    `No setting in this region is predicted within ${words.within(options.target, options.tolerance)}. The ` +
      `nearest is ${nearest}${words.after} at ${inWords(settings)}. Widen the region, or change the target.`,
  )
}
