import { quantity, significant } from '../charts/format.ts'
import type { Fit } from '../contract/results/fit.ts'

/** Codes of what a fit says of variances that do not come from its runs alone; they have a line of their own. */
export const varianceCodes = ['usualVariance', 'earlierVariance', 'statedVariance'] as const

const sourceWords: Record<(typeof varianceCodes)[number], string> = {
  usualVariance: 'a usual value, as these runs hardly tell it',
  earlierVariance: 'with what earlier studies tell',
  statedVariance: 'as stated',
}

const groupWords: Record<string, string> = { session: 'days', plateVisit: 'visits to the plate' }

/** `days` of `session`, `visits to the plate` of `session/plateVisit`; other groups by their own name. */
const wordsOf = (group: string) => {
  const last = group.split('/').at(-1) as string
  return groupWords[last] ?? last
}

/**
 * What groups count for in the intervals, in one sentence; empty where the fit knows no groups.
 *
 * @param options.shown a standard deviation in the unit in which residuals are shown
 */
export function varianceSentence(
  fit: Pick<Fit, 'varianceComponents' | 'problems'>,
  options: { shown: (standardDeviation: number) => number; unit: string },
): string {
  const parts = fit.varianceComponents
    .filter(({ group }) => group !== 'residual')
    .map(({ group, standardDeviation }) => {
      const code = fit.problems.find(
        (problem) => problem.column === group && problem.code in sourceWords,
      )?.code
      const amount = quantity(significant(options.shown(standardDeviation), 2), options.unit)
      const source = code === undefined ? 'by these runs' : sourceWords[code as keyof typeof sourceWords]
      return { words: `${wordsOf(group)} by ${amount}`, source }
    })
  const [first, ...others] = parts
  if (!first) return ''
  const same = others.every(({ source }) => source === first.source)
  return same
    ? `The film differs between ${parts.map(({ words }) => words).join(', between ')} (${first.source}).`
    : `The film differs between ${parts.map(({ words, source }) => `${words} (${source})`).join(', between ')}.`
}
