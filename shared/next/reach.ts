import type { Choice } from '../contract/results/next.ts'
import { chanceToMiss } from './chance.ts'
import { chanceInWords } from './reason.ts'
import type { Place } from './region.ts'
import { inScope, scopeWords } from './scope.ts'
import { type Scored, search } from './search.ts'
import { cheapest, describe, type PlaceOutlook, pick, responseInWords, type Work } from './work.ts'

/**
 * Chances are practically equal where they differ by no more than this, or the chances to miss by no more than
 * this share, and the estimates by no more than these shares of the scatter of a run and of the tolerance.
 */
const equalChance = 0.002
const equalMiss = 0.01
const shareOfScatter = 0.25
const shareOfTolerance = 0.1
/** Variances of a run that differ by less than this share are practically equal. */
const equalVariance = 0.02

/** The settings with the best chance to be in tolerance, by the predictive t distribution. */
export function reach(work: Work): Choice[] {
  const { axes, at, goal, predictor } = work
  const spread = ({ variance }: PlaceOutlook) => Math.sqrt(predictor.noise + variance)
  const miss = (place: Place) => {
    const outlook = at(place) as PlaceOutlook
    const { mean, df } = outlook
    return chanceToMiss({ ...goal, mean, standardDeviation: spread(outlook), df })
  }
  const found = search({
    axes,
    grid: work.grid,
    tell: work.tell,
    along: strongest(work),
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
  const { mean } = at(best.place) as PlaceOutlook
  const width = (goal.high - goal.low) / 2
  const equal = found.filter(({ place, score }) => {
    const outlook = at(place) as PlaceOutlook
    const near = Math.min(shareOfScatter * spread(outlook), shareOfTolerance * width)
    return -score <= -best.score * (1 + equalMiss) + equalChance && Math.abs(outlook.mean - mean) <= near
  })
  const first = quietest(work, equal)
  return pick(work, [first, ...found]).map((scored, i) =>
    describe(work, scored.place, 'reach', (choice) => {
      const { interval, chance } = inScope(choice)
      const likely = `${chanceInWords(chance)} ${scopeWords[choice.scope]}`
      const { target, tolerance } = work.options
      const words = responseInWords(work.options)
      const range = words.within(target, tolerance)
      const [low, high] = interval
      const about = (value: number) => words.about(value, (high - low) / 4)
      const place = `estimate ${about(choice.estimate)}, a run falls from ${about(low)} to ${about(high)}`
      return i === 0
        ? `Best chance in this region to fall within ${range}: ${likely} (${place}).`
        : `Another way to ${range}: chance ${likely} (${place}).`
    }),
  )
}

/** Whether the estimate lies in tolerance. */
export function inTolerance({ at, goal }: Work, place: Place): boolean {
  const outlook = at(place)
  return outlook !== null && outlook.mean >= goal.low && outlook.mean <= goal.high
}

/** Of practically equal places the one where a run is known best; among those the cheapest. */
function quietest(work: Work, equal: Scored[]): Scored {
  const variance = (scored: Scored) => work.predictor.noise + (work.at(scored.place) as PlaceOutlook).variance
  const least = Math.min(...equal.map(variance))
  return cheapest(
    work,
    equal.filter((scored) => variance(scored) <= least * (1 + equalVariance)),
  )
}

/** The axis along which the mean changes most between its ends, the others in their middle. */
export function strongest({ axes, at }: Pick<Work, 'axes' | 'at'>): number {
  const middle = axes.map((axis) => axis.nearest(0.5))
  const change = axes.map((axis, i) => {
    if (axis.factor.kind === 'categorical') return -1
    const [low, high] = [0, axis.size - 1].map(
      (end) => at(middle.map((index, k) => (k === i ? end : index)))?.mean,
    )
    return low === undefined || high === undefined ? 0 : Math.abs(high - low)
  })
  return change.indexOf(Math.max(...change))
}
