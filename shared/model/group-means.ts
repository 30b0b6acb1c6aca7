import type { Fitted } from './fitted.ts'
import type { GroupTree } from './nested-groups.ts'
import { type Orthonormal, orthonormal } from './orthonormal.ts'
import { eigenOf, inner } from './symmetric.ts'

/** A least-squares fit on its orthonormal columns as variance components see it. */
export type GroupMeans = Orthonormal & {
  tree: GroupTree
  /** Roots of the weights by row. */
  roots: Float64Array
  /** By innermost group: total weight, and weighted means of the p + 1 columns. */
  weights: Float64Array
  means: Float64Array
  /** Products of the p + 1 columns within the innermost groups. */
  within: Float64Array
}

/** @param fitted a fit that leaves degrees of freedom and a residual */
export function groupMeans(fitted: Fitted, tree: GroupTree): GroupMeans {
  const base = orthonormal(fitted)
  const { rows, p, entries } = base
  const { frame } = fitted
  const size = p + 1
  const roots = Float64Array.from({ length: rows }, (_, i) => Math.sqrt(frame.weights?.[i] ?? 1))
  const groups = tree.counts.at(-1) ?? 0
  const weights = new Float64Array(groups)
  const means = new Float64Array(groups * size)
  for (let i = 0; i < rows; i++) {
    const group = tree.groupOfRow[i]!
    weights[group]! += roots[i]! ** 2
    for (let k = 0; k < size; k++) means[group * size + k]! += roots[i]! * entries[i * size + k]!
  }
  for (let g = 0; g < groups; g++) for (let k = 0; k < size; k++) means[g * size + k]! /= weights[g]!
  const within = new Float64Array(size * size)
  const left = new Float64Array(size)
  for (let i = 0; i < rows; i++) {
    const group = tree.groupOfRow[i]!
    for (let k = 0; k < size; k++) left[k] = entries[i * size + k]! - roots[i]! * means[group * size + k]!
    addSquare(within, left, 1)
  }
  return { ...base, tree, roots, weights, means, within }
}

function addSquare(to: Float64Array, x: Float64Array, weight: number): void {
  const size = x.length
  for (let j = 0; j < size; j++) {
    const factor = weight * x[j]!
    for (let i = 0; i < size; i++) to[i + j * size]! += factor * x[i]!
  }
}

/** Eigenvalues of Q′Q within groups lie in [0, 1]; below this a column counts as one between groups. */
const leastWithin = 1e-10

/**
 * Degrees of freedom that each stratum leaves, outermost first, the residual last: between the groups of a level
 * within those of the level outside, after the fixed effects.
 */
export function strataDf(reduced: GroupMeans): number[] {
  const { tree, rows, p } = reduced
  const levels = tree.counts.length
  const ranks = [p]
  for (let g = 0; g < levels; g++) ranks.push(tree.counts[g]! + rankOf(withinLevel(reduced, g), p))
  ranks.push(rows)
  return ranks.slice(1).map((rank, g) => rank - ranks[g]!)
}

function rankOf(products: Float64Array, p: number): number {
  return spreadDirections(products, p).length
}

/** Directions in which the columns spread within groups, with how much; none where they are the same within all. */
function spreadDirections(products: Float64Array, p: number): { value: number; vector: Float64Array }[] {
  const own = columnsPart(products, p)
  // No eigenvalue is larger than their sum. With a column a setting and its wafers inside, this saves most of the time.
  let sum = 0
  for (let k = 0; k < p; k++) sum += own[k + k * p]!
  if (sum <= leastWithin) return []
  const { values, vectors } = eigenOf(own, p)
  return Array.from(values, (value, k) => ({ value, vector: vectors.subarray(k * p, k * p + p) })).filter(
    ({ value }) => value > leastWithin,
  )
}

function columnsPart(products: Float64Array, p: number): Float64Array {
  const own = new Float64Array(p * p)
  for (let j = 0; j < p; j++) for (let i = 0; i < p; i++) own[i + j * p] = products[i + j * (p + 1)]!
  return own
}

/** What the model leaves inside the innermost groups below this share of what there is, is rounding. */
const exactShare = 1e-12

/** Whether the model goes through every run inside the innermost groups, so that there is no residual variance. */
export function exactInside(reduced: GroupMeans): boolean {
  const { p, within, rows } = reduced
  const whole = within[p + p * (p + 1)]!
  return whole <= exactShare ** 2 * rows || leftInside(reduced) <= exactShare * whole
}

/** Sum of squares that the model leaves inside the innermost groups, in units of the residual variance. */
export function leftInside({ p, within }: GroupMeans): number {
  const size = p + 1
  const whole = within[p + p * size]!
  const across = within.subarray(p * size, p * size + p)
  return spreadDirections(within, p).reduce(
    (rest, { value, vector }) => rest - inner(vector, across) ** 2 / value,
    whole,
  )
}

/** Products of the p + 1 columns within the groups of a level. */
function withinLevel({ tree, p, weights, means, within }: GroupMeans, level: number): Float64Array {
  const size = p + 1
  const result = within.slice()
  const left = new Float64Array(size)
  let [ownWeights, ownMeans] = [weights, means]
  for (let g = tree.counts.length - 1; g > level; g--) {
    const parents = tree.parents[g]!
    const outerWeights = new Float64Array(tree.counts[g - 1]!)
    const outerMeans = new Float64Array(outerWeights.length * size)
    parents.forEach((parent, k) => {
      outerWeights[parent]! += ownWeights[k]!
      for (let c = 0; c < size; c++)
        outerMeans[parent * size + c]! += ownWeights[k]! * ownMeans[k * size + c]!
    })
    outerMeans.forEach((value, at) => {
      outerMeans[at] = value / outerWeights[Math.floor(at / size)]!
    })
    parents.forEach((parent, k) => {
      for (let c = 0; c < size; c++) left[c] = ownMeans[k * size + c]! - outerMeans[parent * size + c]!
      addSquare(result, left, ownWeights[k]!)
    })
    ;[ownWeights, ownMeans] = [outerWeights, outerMeans]
  }
  return result
}
