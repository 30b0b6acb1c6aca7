import { type Basis, basisOf, inverseRoot } from './basis.ts'

/** What a design's errors look like: blocks as fixed shifts, visits as a random error of their own. */
export type Strata = {
  /** Block of each run, from 1. */
  blocks: readonly number[]
  /** Visit of each run, from 1; null where no factor is hard to change. */
  visits: readonly number[] | null
  /** Visit variance over run variance. */
  varianceRatio: number
}

/** Standard errors of the terms in σ of a run, null where blocks or other terms hide the term. */
export type TermErrors = {
  standardErrors: (number | null)[]
  runDf: number
  /** Degrees of freedom of the visit error; null without visits. */
  visitDf: number | null
}

/**
 * Standard errors and degrees of freedom by stratum, before any run is made. Blocks are fixed shifts; visits
 * have a variance of their own, so the columns are weighted by V^(−1/2) with V = I + ratio·ZZ′ (generalized
 * least squares for a split plot).
 *
 * @param columns the model's columns, the constant first
 * @param ofVisit which of them change only from visit to visit (the constant among them)
 */
export function termErrors(
  columns: readonly Float64Array[],
  ofVisit: readonly boolean[],
  strata: Strata,
): TermErrors {
  const blockColumns = indicators(strata.blocks).slice(1)
  const ahead = [columns[0] as Float64Array, ...blockColumns]
  const all = [...ahead, ...columns.slice(1)]
  const { visits } = strata
  const weighted = visits === null ? all : all.map((column) => whitened(column, visits, strata.varianceRatio))
  const basis = basisOf(weighted)
  const diagonal = variancesOf(basis)
  const variances = new Map(basis.kept.map((place, k) => [place, diagonal[k] as number]))
  const standardErrors = columns.map((_, c) => {
    const variance = variances.get(c === 0 ? 0 : c + blockColumns.length)
    return variance === undefined ? null : Math.sqrt(variance)
  })
  const n = strata.blocks.length
  if (visits === null) return { standardErrors, runDf: n - basis.kept.length, visitDf: null }
  const betweenVisits = indicators(visits)
  const visitColumns = [...ahead, ...columns.filter((_, c) => c > 0 && ofVisit[c])]
  return {
    standardErrors,
    runDf: n - basisOf([...betweenVisits, ...all]).kept.length,
    visitDf: betweenVisits.length - basisOf(visitColumns).kept.length,
  }
}

/** One column of 0 and 1 for each group, groups in the order of their numbers. */
export function indicators(groups: readonly number[]): Float64Array[] {
  return [...new Set(groups)]
    .sort((a, b) => a - b)
    .map((group) => Float64Array.from(groups, (of) => (of === group ? 1 : 0)))
}

/** Diagonal of (X′X)⁻¹: the squared lengths of the rows of R⁻¹. */
function variancesOf(basis: Basis): Float64Array {
  const p = basis.q.length
  const root = inverseRoot(basis)
  return Float64Array.from({ length: p }, (_, k) => {
    let sum = 0
    for (let j = k; j < p; j++) sum += root[k + j * p]! ** 2
    return sum
  })
}

/** V^(−1/2) x: each value less a share of its visit's mean, 1 − 1/√(1 + m·ratio) for a visit of m runs. */
function whitened(column: Float64Array, visits: readonly number[], ratio: number): Float64Array {
  const sums = new Map<number, { sum: number; runs: number }>()
  visits.forEach((visit, i) => {
    const held = sums.get(visit) ?? { sum: 0, runs: 0 }
    sums.set(visit, { sum: held.sum + column[i]!, runs: held.runs + 1 })
  })
  return column.map((value, i) => {
    const { sum, runs } = sums.get(visits[i]!)!
    return value - (1 - 1 / Math.sqrt(1 + runs * ratio)) * (sum / runs)
  })
}
