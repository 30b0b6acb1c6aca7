import type { Choice } from '../contract/results/next.ts'
import { errorInWords } from './reason.ts'
import { regionAverage } from './region-average.ts'
import { search } from './search.ts'
import { cheapest, describe, pick, practically, type Work } from './work.ts'

/** The runs that take most from the prediction variance of the mean averaged over the region. */
export function learn(work: Work, seed: number): Choice[] {
  const { axes, at, predictor, model } = work
  const average = regionAverage({ predictor, axes, seed })
  const found = search({
    axes,
    marks: work.marks,
    seed,
    score(place) {
      const outlook = at(place)
      return outlook === null ? Number.NEGATIVE_INFINITY : average.reduction(outlook.whitened)
    },
  }).filter((scored) => scored.score > Number.NEGATIVE_INFINITY)
  const best = found[0]
  if (best === undefined) return []
  const first = cheapest(
    work,
    found.filter((other) => other.score >= best.score * (1 - practically)),
  )
  const words = (variance: number) =>
    errorInWords(
      predictor.scale,
      predictor.standardDeviation * Math.sqrt(variance),
      model.unitOf(model.responseName),
    )
  return pick(work, [first, ...found]).map(({ place, score }, i) =>
    describe(
      work,
      place,
      'learn',
      () =>
        `${i === 0 ? 'Narrows the fit most' : 'Narrows the fit too'}: the average standard error of the mean ` +
        `over the region goes from ${words(average.variance)} to ${words(average.variance - score)}.`,
    ),
  )
}
