import type { GroupMeans } from './group-means.ts'

/** What groups add to the fixed effects, given their variances, for each of the columns [Q, response]. */
export type GroupEffects = {
  /** By level: the total effect of each group, its own and those outside it, by group × (p + 1). */
  effects: Float64Array[]
  /** By level: the variance that is left of each total effect, the fixed effects taken as known. */
  spreads: Float64Array[]
}

/**
 * Best linear unbiased prediction of the group effects (Henderson, Biometrics 31, 1975): from the inside out the
 * precision of the group means, from the outside in each mean shrunk towards the group around it.
 *
 * @param variances by level, outermost first, the residual last
 */
export function groupEffects({ tree, p, weights, means }: GroupMeans, variances: Float64Array): GroupEffects {
  const size = p + 1
  const levels = tree.counts.length
  const ownMeans: Float64Array[] = []
  const ownSpreads: Float64Array[] = []
  let mean = means
  let spread = weights.map((weight) => variances[levels]! / weight)
  for (let g = levels - 1; g >= 0; g--) {
    ownMeans[g] = mean
    ownSpreads[g] = spread
    if (g === 0) break
    const outer = tree.counts[g - 1]!
    const total = new Float64Array(outer)
    const sums = new Float64Array(outer * size)
    tree.parents[g]!.forEach((parent, k) => {
      const omega = 1 / (variances[g]! + spread[k]!)
      total[parent]! += omega
      for (let c = 0; c < size; c++) sums[parent * size + c]! += omega * mean[k * size + c]!
    })
    mean = sums.map((sum, at) => sum / total[Math.floor(at / size)]!)
    spread = total.map((sum) => 1 / sum)
  }
  const result: GroupEffects = { effects: [], spreads: [] }
  for (let g = 0; g < levels; g++) {
    const around = result.effects[g - 1] ?? new Float64Array(size)
    const aroundSpread = result.spreads[g - 1] ?? new Float64Array(1)
    const count = tree.counts[g]!
    const effects = new Float64Array(count * size)
    const spreads = new Float64Array(count)
    for (let k = 0; k < count; k++) {
      const parent = g === 0 ? 0 : tree.parents[g]![k]!
      const own = ownSpreads[g]![k]!
      const share = variances[g]! / (variances[g]! + own)
      for (let c = 0; c < size; c++) {
        const from = around[parent * size + c]!
        effects[k * size + c] = from + share * (ownMeans[g]![k * size + c]! - from)
      }
      spreads[k] = (1 - share) ** 2 * aroundSpread[parent]! + share * own
    }
    result.effects.push(effects)
    result.spreads.push(spreads)
  }
  return result
}
