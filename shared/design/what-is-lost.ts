import type { DesignEvaluation, Plan } from '../contract/results/plan.ts'

/**
 * What one plan can tell less well than another, in plain words, empty where nothing is lost. The share by which it loses is that of the standard
 * error of a mean prediction, averaged over the region; a term that can no longer be judged counts as a whole one.
 */
export function whatIsLost(before: Plan, after: Plan): { words: string; share: number } {
  const [one, two] = [before.evaluation, after.evaluation]
  const [df, dfLeft] = [errorDf(one), errorDf(two)]
  if (df > 0 && dfLeft <= 0)
    return { words: 'No degrees of freedom are left, so nothing can be judged.', share: one.terms.length }
  const judged = termsJudged(two)
  const gone = termsJudged(one).filter((term) => !judged.includes(term))
  const wider = widening(one, two)
  const plate = plateDf(one) !== null && plateDf(two) !== plateDf(one)
  const sentences = [
    ...(gone.length > 0 ? [`${listed(gone)} can no longer be judged.`] : []),
    ...(wider !== null && wider >= 0.005
      ? [`Predictions get ${Math.round(100 * wider)} % less sure on average.`]
      : []),
    ...(dfLeft < df ? [`What is left to judge by is ${degrees(dfLeft)}, not ${df}.`] : []),
    ...(plate ? [`The plate is judged by ${degrees(plateDf(two) ?? 0)}, not ${plateDf(one)}.`] : []),
  ]
  return {
    words: sentences.join(' '),
    share: gone.length + Math.max(0, wider ?? 0) + (df - dfLeft) / 1000,
  }
}

const degrees = (df: number) => `${df} ${df === 1 ? 'degree' : 'degrees'} of freedom`

const termsJudged = ({ smallestDetectable }: DesignEvaluation) =>
  smallestDetectable.filter(({ effect }) => effect !== null).map(({ term }) => term)

function widening(before: DesignEvaluation, after: DesignEvaluation): number | null {
  const [one, two] = [before.averagePredictionVariance, after.averagePredictionVariance]
  return one === null || two === null || one <= 0 ? null : Math.sqrt(two / one) - 1
}

const errorDf = ({ strata }: DesignEvaluation) => strata.reduce((sum, { df }) => sum + df, 0)

const plateDf = ({ strata }: DesignEvaluation) =>
  strata.find(({ stratum }) => stratum === 'plateVisit')?.df ?? null

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}
