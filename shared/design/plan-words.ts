import { decimalsFor, percent, quantity, significant } from '../charts/format.ts'
import type { DesignEvaluation } from '../contract/results/plan.ts'

type Effect = DesignEvaluation['smallestDetectable'][number]
type Seen = Effect & { effect: number }

/** A size in σ of one run, and in percent of the film where σ is known (as a share). */
function size(effect: number, sigma: number | null): string {
  const inSigma = quantity(significant(effect, 2), 'σ')
  return sigma === null
    ? inSigma
    : `${inSigma} (${percent(effect * sigma, decimalsFor(100 * effect * sigma))})`
}

/** A term as one writes it in a sentence: speed² of `speed^2`. */
const written = (term: string) => term.replaceAll('^2', '²')

/**
 * What a plan will be able to tell, in sentences: the surest and the least sure term, and how well it predicts.
 *
 * @param sigma standard deviation of one run as a share of the film; null where nobody has said it
 */
export function reachInWords(evaluation: DesignEvaluation, sigma: number | null): string[] {
  const terms = evaluation.smallestDetectable.filter(({ term }) => term !== 'constant')
  const seen = terms.filter((each): each is Seen => each.effect !== null)
  const surest = seen.reduce<Seen | null>((a, b) => (a === null || b.effect < a.effect ? b : a), null)
  const least = seen.reduce<Seen | null>((a, b) => (a === null || b.effect > a.effect ? b : a), null)
  const words: string[] = []
  if (surest && least)
    words.push(
      `With a chance of ${percent(surest.power, 0)} the plan sees ${written(surest.term)} where it moves the film by ` +
        `${size(surest.effect, sigma)} or more from the middle of its range to the end` +
        `${least.term === surest.term ? '' : `; least sure is ${written(least.term)}, from ${size(least.effect, sigma)} on`}.`,
    )
  const unseen = unseenInWords(evaluation)
  if (unseen !== '') words.push(unseen)
  const { averagePredictionVariance: average, maximumPredictionVariance: most } = evaluation
  if (average !== null && most !== null)
    words.push(
      `It predicts the mean film within the region with a standard error of ${size(Math.sqrt(average), sigma)} on ` +
        `average, at worst ${size(Math.sqrt(most), sigma)}.`,
    )
  return words
}

/** Which terms a plan cannot see at all, and what helps where plate visits are too few; empty where it sees all. */
export function unseenInWords({ smallestDetectable }: DesignEvaluation): string {
  const blind = smallestDetectable.filter(({ term, effect }) => term !== 'constant' && effect === null)
  if (blind.length === 0) return ''
  const seen = `The plan cannot see ${blind.map(({ term }) => written(term)).join(', ')}, however large the effect`
  return blind.some(({ stratum }) => stratum === 'plateVisit')
    ? `${seen}: so few visits to the plate leave nothing to judge the plate by. More visits help, such as another replicate.`
    : `${seen}.`
}
