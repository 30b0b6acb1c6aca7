import type { Settings } from '../contract/things.ts'
import { type Answer, good } from '../problem.ts'
import { chanceToMissAt } from './chance.ts'
import type { EvennessAt } from './evenness.ts'
import { goalOnScale, type Predictor } from './predictor.ts'
import { worthwhile } from './recipe.ts'

type Axis = { factor: string; low: number; high: number }

/**
 * The chance that a wafer is in tolerance over two factors, in thickness and in evenness, on an even grid, row by row
 * from low y. The two chances are multiplied, as for a recipe; where that in thickness is low, it stands alone.
 *
 * @param options.at the settings of the other factors
 * @param options.count grid points along each axis; 101 unless given, since the region is often a narrow ridge
 * @returns a problem where the target has no value on the model's scale
 */
export function chanceMap(
  predictor: Predictor,
  options: {
    x: Axis
    y: Axis
    at: Settings
    target: number
    tolerance: number
    evenness: EvennessAt | null
    count?: number
  },
): Answer<{ count: number; values: number[] }> {
  const { x, y, at, evenness, count = 101 } = options
  const goal = goalOnScale(predictor.scale, options.target, options.tolerance)
  if (!goal.ok) return goal
  const along = ({ low, high }: Axis, i: number) => low + ((high - low) * i) / (count - 1)
  const chance = (settings: Settings): number => {
    const outlook = predictor.at(settings)
    if (outlook === null) return 0
    const thickness = 1 - chanceToMissAt(outlook, { ...goal.value, noise: predictor.noise })
    return thickness < worthwhile ? thickness : thickness * (evenness?.chance(settings) ?? 1)
  }
  const values = Array.from({ length: count * count }, (_, i) =>
    chance({
      ...at,
      [x.factor]: along(x, i % count),
      [y.factor]: along(y, Math.floor(i / count)),
    }),
  )
  return good({ count, values })
}
