import type { Choice } from '../contract/results/next.ts'
import { targetImprovement } from './improvement.ts'
import { search } from './search.ts'
import { cheapest, describe, pick, practically, responseInWords, type Work } from './work.ts'

/** An alternative is shown where it promises at least this share of the best improvement. */
const leastShare = 0.1

/** The runs with the largest expected improvement on the smallest squared distance to the target predicted so far. */
export function both(work: Work): Choice[] {
  const { axes, at, predictor, goal, options, model } = work
  const distances = options.tested.flatMap((settings) => {
    const outlook = predictor.at(settings)
    return outlook === null ? [] : [{ settings, distance: Math.abs(outlook.mean - goal.target) }]
  })
  const nearest = distances.reduce((a, b) => (b.distance < a.distance ? b : a), {
    settings: {},
    distance: Number.POSITIVE_INFINITY,
  })
  if (!Number.isFinite(nearest.distance)) return []
  const found = search({
    axes,
    grid: work.grid,
    tell: work.tell,
    score(place) {
      const outlook = at(place)
      if (outlook === null) return Number.NEGATIVE_INFINITY
      return targetImprovement({
        target: goal.target,
        distance: nearest.distance,
        mean: outlook.mean,
        standardDeviation: Math.sqrt(outlook.variance),
      })
    },
  }).filter((scored) => scored.score > 0)
  const best = found[0]
  if (best === undefined) return []
  const first = cheapest(
    work,
    found.filter((other) => other.score >= best.score * (1 - practically)),
  )
  const [before] = model.predict([nearest.settings])
  const words = responseInWords(options)
  const now =
    before === undefined
      ? ''
      : `The tested setting predicted nearest to the target gives ${words.about(before.estimate, before.standardErrorOfMean)}${words.after}; `
  const worthwhile = found.filter((other) => other.score >= leastShare * best.score)
  return pick(work, [first, ...worthwhile]).map(({ place, score }) =>
    describe(
      work,
      place,
      'both',
      () =>
        `${now}a run here is expected to cut the squared distance to the target by ` +
        `${((100 * score) / nearest.distance ** 2).toPrecision(2)} %, by being nearer or by what it teaches.`,
    ),
  )
}
