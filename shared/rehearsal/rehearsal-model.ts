import type { Factor, Settings } from '../contract/things.ts'
import { suggestModels } from '../model/suggest.ts'

/** Runs that the model is to leave for its error: with fewer the intervals are so wide that they answer nothing. */
const spare = 3

/**
 * The model to fit to a plan where none is chosen: the largest of those offered that leaves three runs to judge the
 * error by, in the factors' own units.
 */
export function rehearsalModel(factors: readonly Factor[], runs: readonly { settings: Settings }[]): string {
  const offers = suggestModels({
    factors: factors.map(({ name, role, kind }) => ({
      name,
      role,
      kind,
      distinct: new Set(runs.map(({ settings }) => settings[name])).size,
    })),
    response: 'thickness',
    onLogScale: true,
    groups: [],
    runs: runs.length,
  })
  const affordable = offers.filter(({ terms }) => terms + spare <= runs.length)
  return (affordable.at(-1) ?? offers[0])?.model ?? 'log(thickness) ~ 1'
}
