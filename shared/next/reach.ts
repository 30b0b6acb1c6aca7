import type { Choice } from '../contract/results.ts'
import { chanceToMiss } from './chance.ts'
import type { Outlook } from './predictor.ts'
import { chanceInWords, figure } from './reason.ts'
import type { Place } from './region.ts'
import { type Scored, search } from './search.ts'
import { cheapest, describe, pick, practically, unitAfter, type Work } from './work.ts'

/** Variances of the mean that differ by less than this share are practically equal. */
const equalVariance = 0.05

/** The settings with the best chance to be in tolerance, by the predictive t distribution. */
export function reach(work: Work, seed: number): Choice[] {
  const { axes, at, goal, predictor } = work
  const spread = ({ share }: Outlook) => predictor.standardDeviation * Math.sqrt(1 + share)
  const miss = (place: Place) => {
    const outlook = at(place) as Outlook
    const { mean } = outlook
    return chanceToMiss({ ...goal, mean, standardDeviation: spread(outlook), df: predictor.df })
  }
  const found = search({
    axes,
    seed,
    score(place) {
      const outlook = at(place)
      if (outlook === null) return Number.NEGATIVE_INFINITY
      const missed = miss(place)
      // Far from the target every chance is 0 to the last digit: there the distance shows the way.
      return missed < 0.9999 ? -missed : -1 - Math.abs(outlook.mean - goal.target) / spread(outlook)
    },
  }).filter((scored) => inTolerance(work, scored.place))
  const best = found[0]
  if (best === undefined) return []
  const equal = found.filter((other) => -other.score <= -best.score * (1 + practically) + 1e-12)
  const first = quietest(work, equal)
  return pick(work, [first, ...found]).map((scored, i) =>
    describe(work, scored.place, 'reach', (choice) => {
      const chance = chanceInWords(choice.chanceInTolerance.sameSession)
      const { target, tolerance } = work.options
      const range = `${target} ± ${tolerance}${unitAfter(work.model)}`
      const [low, high] = choice.prediction.sameSession
      const place = `estimate ${inUnit(choice, choice.estimate)}, a run falls from ${inUnit(choice, low)} to ${inUnit(choice, high)}`
      return i === 0
        ? `Best chance in this region to fall within ${range}: ${chance} in this session (${place}).`
        : `Another way to ${range}: chance ${chance} in this session (${place}).`
    }),
  )
}

/** Whether the estimate lies in tolerance. */
export function inTolerance({ at, goal }: Work, place: Place): boolean {
  const outlook = at(place)
  return outlook !== null && outlook.mean >= goal.low && outlook.mean <= goal.high
}

/** Of practically equal places the one where the mean is known best; among those the cheapest. */
function quietest(work: Work, equal: Scored[]): Scored {
  const share = (scored: Scored) => (work.at(scored.place) as Outlook).share
  const least = Math.min(...equal.map(share))
  return cheapest(
    work,
    equal.filter((scored) => share(scored) <= least * (1 + equalVariance)),
  )
}

function inUnit(choice: Choice, value: number): string {
  const [low, high] = choice.prediction.sameSession
  return figure(value, (high - low) / 4)
}
