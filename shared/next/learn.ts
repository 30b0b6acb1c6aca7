import type { Choice } from '../contract/results/next.ts'
import type { Outlook } from './predictor.ts'
import { type Place, settingsAt } from './region.ts'
import { search } from './search.ts'
import { averageInWords, cheapest, describe, pick, practically, type Work } from './work.ts'

/**
 * The runs that take most from the prediction variance of the mean averaged over the region, made in the present
 * session: what the day adds is then mostly left, and said.
 */
export function learn(work: Work): Choice[] {
  const { axes, predictor } = work
  const average = work.average()
  const found = search({
    axes,
    grid: work.grid,
    tell: work.tell,
    score(place) {
      const run = predictor.here(settingsAt(axes, place))
      return run === null ? Number.NEGATIVE_INFINITY : average.reduction(run)
    },
  }).filter((scored) => scored.score > Number.NEGATIVE_INFINITY)
  const best = found[0]
  if (best === undefined) return []
  const first = cheapest(
    work,
    found.filter((other) => other.score >= best.score * (1 - practically)),
  )
  const words = averageInWords(work)
  /** What the same run would teach on another day, where that is more. */
  const another = (place: Place, here: number) => {
    if (predictor.scope === 'sameSession') return ''
    const { whitened } = predictor.at(settingsAt(axes, place)) as Outlook
    const there = average.reduction({ whitened, noise: predictor.noise })
    return there > here
      ? ` Most of the rest is how days differ: made on another day, this run would take it to ${words(average.variance - there)}.`
      : ''
  }
  return pick(work, [first, ...found]).map(({ place, score }, i) =>
    describe(
      work,
      place,
      'learn',
      () =>
        `${i === 0 ? 'Narrows the fit most' : 'Narrows the fit too'}: the average standard error of the mean ` +
        `over the region goes from ${words(average.variance)} to ${words(average.variance - score)}.` +
        another(place, score),
    ),
  )
}
