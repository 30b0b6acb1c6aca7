import type { Replanned, Telling } from '../contract/results/replan.ts'

const list = (names: readonly string[]) =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
const runs = (n: number) => (n === 1 ? '1 run' : `${n} runs`)

/** What is left of the plan, in sentences. */
export function replanWords(result: Omit<Replanned, 'words' | 'budget'>): string[] {
  const { done, remaining, terms, old } = result
  const effects = terms.filter(({ term }) => term !== 'constant')
  const lost = effects.filter(({ proposed }) => !proposed)
  const bySettings = lost.filter(({ why }) => why === 'settings').map(({ term }) => term)
  const byRuns = lost.filter(({ why }) => why === 'runs').map(({ term }) => term)
  const stuck = old.filter(({ fits }) => fits === 'settings').length
  const missed = effects.filter(({ rest, proposed }) => proposed && !rest).map(({ term }) => term)
  return [
    `${runs(done)} ${done === 1 ? 'is' : 'are'} done and ${remaining} more fit, of ${old.length} still planned.`,
    ...(stuck > 0 ? [`${runs(stuck)} of those planned cannot be made with the settings left.`] : []),
    lost.length === 0
      ? 'With the proposed runs every term of the plan’s model can still be estimated.'
      : `With the proposed runs ${effects.length - lost.length} of ${effects.length} effects can still be estimated.`,
    ...(bySettings.length > 0
      ? [
          `${list(bySettings)} cannot: the settings left do not tell ${bySettings.length === 1 ? 'it' : 'them'} apart.`,
        ]
      : []),
    ...(byRuns.length > 0
      ? [`${list(byRuns)} cannot: there are too few runs left for the whole model.`]
      : []),
    ...(missed.length > 0 ? [`The runs as they were planned would not have told ${list(missed)}.`] : []),
    ...precision(result),
  ]
}

/** How well predictions are known, beside the runs as they stood. */
function precision({ planned, rest, proposed }: Pick<Replanned, 'planned' | 'rest' | 'proposed'>): string[] {
  const width = ({ averagePredictionVariance }: Telling) =>
    averagePredictionVariance === null ? null : Math.sqrt(averagePredictionVariance)
  const [whole, left, now] = [width(planned), width(rest), width(proposed)]
  if (now === null) return []
  const of = (other: number | null, words: string) =>
    other === null ? [] : [`${Math.round(100 * (now / other))} % of what ${words} would have given`]
  const beside = [...of(left, 'the first of the runs still planned'), ...of(whole, 'the whole plan')]
  if (beside.length === 0) return []
  return [
    `For what is kept of the model, the standard error of a prediction is ${beside.join(', and ')}.`,
    ...(left !== null && left <= now
      ? ['The runs as they were planned do as well: there is no need to change them.']
      : []),
  ]
}
