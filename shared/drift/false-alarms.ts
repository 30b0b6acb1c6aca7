import { seeded } from '../random.ts'
import { limitsOf } from './limits.ts'
import { alarmsOf, type DriftRule } from './rules.ts'

/** The chance of an alarm where nothing has changed, with the standard error of its simulation. */
export type FalseAlarms = { chance: number; standardError: number; among: number }

const usualTimes = 2000

/**
 * The chance of at least one alarm among the next values of a process that has not changed, by simulation with a fixed
 * seed: limits from few points are themselves uncertain, which raises it far above that of known limits.
 *
 * @param options.points that set the limits; null: limits that are known
 * @param options.among how many values are watched
 */
export function falseAlarms(options: {
  rules: readonly DriftRule[]
  points: number | null
  among: number
  times?: number
  seed?: number
}): FalseAlarms {
  const { rules, points, among, times = usualTimes, seed = 1 } = options
  const random = seeded(seed)
  const draw = (count: number) => Array.from({ length: count }, () => random.normal())
  let alarmed = 0
  for (let i = 0; i < times; i++) {
    const limits = points === null ? { centre: 0, sigma: 1 } : limitsOf(draw(points))
    if (limits && alarmsOf(draw(among), limits, rules).length > 0) alarmed++
  }
  const chance = alarmed / times
  return { chance, standardError: Math.sqrt((chance * (1 - chance)) / times), among }
}
