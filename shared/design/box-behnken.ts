import type { Factor } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { acrossLevels } from './composite.ts'
import { combinations, type DesignPoint } from './design-point.ts'
import type { DrawnDesign } from './drawn-design.ts'

/**
 * Which factors go to their ends together while the others stay in the middle, by number of factors: Box &
 * Behnken, Technometrics 2 (1960) 455–475, as in the NIST/SEMATECH e-Handbook, 5.3.3.6.2 (three factors; four
 * in three orthogonal blocks; five all pairs), six and seven from memory.
 */
const together: Readonly<Record<number, readonly string[]>> = {
  3: ['12', '13', '23'],
  4: ['12', '34', '14', '23', '13', '24'],
  5: ['12', '13', '14', '15', '23', '24', '25', '34', '35', '45'],
  6: ['124', '235', '346', '145', '256', '136'],
  7: ['456', '167', '257', '124', '347', '135', '236'],
}

/**
 * A Box–Behnken design: three levels a factor and no corners. Centre points are added by the plan; without
 * any, squares cannot be told from the constant. Each combination of levels by name gets the whole design.
 */
export function boxBehnken(factors: readonly Factor[]): Answer<DrawnDesign> {
  const k = factors.filter((factor) => factor.kind === 'continuous').length
  const sets = together[k]
  if (sets === undefined)
    return refuse(
      'boxBehnkenFactors',
      `A Box–Behnken design takes 3 to 7 factors with a range; this plan has ${k}.`,
    )
  const levels = combinations(
    factors.flatMap((factor) => (factor.kind === 'categorical' ? [factor.levelNames] : [])),
  )
  const edges = (sets[0] as string).length
  return good({
    size: levels.length * sets.length * 2 ** edges,
    points: () => levels.flatMap((names) => acrossLevels(factors, names, edgePoints(k, sets))),
    words: `Box–Behnken: ${edges} factors at a time go to their ends while the others stay in the middle; no run is at a corner.`,
  })
}

function edgePoints(k: number, sets: readonly string[]): DesignPoint[] {
  return sets.flatMap((set) => {
    const moved = [...set].map((digit) => Number(digit) - 1)
    return combinations<number>(moved.map(() => [-1, 1])).map((values): DesignPoint => {
      const coded = new Array<number>(k).fill(0)
      moved.forEach((factor, i) => {
        coded[factor] = values[i] as number
      })
      return { kind: 'edge', coded }
    })
  })
}
