import type { DriftChoice } from '../contract/results/drift.ts'
import { type Weighting, weightedAverage } from './weighted-average.ts'

/** The rules that a chart can follow; the first and the last unless others are chosen. */
export const driftRules = [
  'beyond three',
  'two of three',
  'four of five',
  'eight on one side',
  'average',
] as const
export type DriftRule = (typeof driftRules)[number]

/** How a recipe is watched where nobody has chosen. */
export const usualChoice: DriftChoice = {
  limitsFrom: { from: 1, to: null },
  rules: ['beyond three', 'average'],
  along: 'readings',
}

/** A rule broken, at the value that completed it. */
export type Alarm = { index: number; rule: DriftRule; side: 'above' | 'below' }

/** So many of so many values in a row beyond so many deviations, on one side. */
const zones: Record<Exclude<DriftRule, 'average'>, { of: number; least: number; beyond: number }> = {
  'beyond three': { of: 1, least: 1, beyond: 3 },
  'two of three': { of: 3, least: 2, beyond: 2 },
  'four of five': { of: 5, least: 4, beyond: 1 },
  'eight on one side': { of: 8, least: 8, beyond: 0 },
}

/**
 * The values at which a rule is broken: the zone rules of the Western Electric Statistical Quality Control Handbook
 * (1956), where the last value must itself lie in the zone, and the limits of the exponentially weighted average.
 *
 * @param values in the order of time
 */
export function alarmsOf(
  values: readonly number[],
  limits: { centre: number; sigma: number },
  rules: readonly DriftRule[],
  weighting?: Weighting,
): Alarm[] {
  const scores = values.map((value) => (value - limits.centre) / limits.sigma)
  const average = rules.includes('average') ? weightedAverage(values, limits, weighting) : []
  return scores.flatMap((_, index): Alarm[] => [
    ...zoneRules.flatMap((rule): Alarm[] => {
      if (!rules.includes(rule)) return []
      const side = broken(scores, index, zones[rule])
      return side ? [{ index, rule, side }] : []
    }),
    ...(average[index]?.outside
      ? [
          {
            index,
            rule: 'average' as const,
            side: (average[index]?.value ?? 0) > limits.centre ? ('above' as const) : ('below' as const),
          },
        ]
      : []),
  ])
}

const zoneRules = driftRules.filter((rule) => rule !== 'average')

function broken(
  scores: readonly number[],
  index: number,
  { of, least, beyond }: (typeof zones)[keyof typeof zones],
): Alarm['side'] | null {
  const side = Math.sign(scores[index] as number)
  if (side === 0) return null
  const isBeyond = (score: number) => side * score > beyond
  if (!isBeyond(scores[index] as number)) return null
  const count = scores.slice(Math.max(0, index - of + 1), index + 1).filter(isBeyond).length
  return count >= least ? (side > 0 ? 'above' : 'below') : null
}
