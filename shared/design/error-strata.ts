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

/** How well one coefficient can be told. */
export type TermError = {
  /** In σ of a run. */
  standardError: number
  /** Degrees of freedom of its error; null where there are none. */
  df: number | null
  /** Share of the estimate's weights that lies between visits, 0 to 1; 0 without visits. */
  betweenVisits: number
}

/** What a design lets be told of each term. */
export type TermErrors = {
  /** By the terms' order; null where blocks or earlier terms hide the term. */
  of: (TermError | null)[]
  /** Covariance of two coefficients in σ² of a run; null where one is hidden. */
  covariance: (a: number, b: number) => number | null
  runDf: number
  /** Degrees of freedom of the error between visits; null without visits. */
  visitDf: number | null
}

/**
 * Standard errors and degrees of freedom of the terms, before any run is made. Blocks are fixed shifts; visits
 * have a variance of their own, so the columns are weighted by V^(−1/2) with V = I + ratio·ZZ′ (generalized
 * least squares for a split plot). Where a term is estimated partly between visits and partly within them, its
 * degrees of freedom are Satterthwaite's: 2·var² / (g′ I⁻¹ g), with g the change of the estimate's variance
 * with the two variances and I their expected restricted information (Giesbrecht & Burns, Biometrics 41
 * (1985) 477–486). For a term that lies wholly in one stratum they are those of that stratum.
 *
 * @param columns the model's columns, the constant first
 */
export function termErrors(columns: readonly Float64Array[], strata: Strata): TermErrors {
  const blockColumns = indicators(strata.blocks).slice(1)
  const all = [columns[0] as Float64Array, ...blockColumns, ...columns.slice(1)]
  const { visits, varianceRatio } = strata
  const groups = visits === null ? null : visitsOf(visits, varianceRatio)
  const basis = basisOf(groups === null ? all : all.map((column) => whitened(column, groups)))
  const root = inverseRoot(basis)
  const n = strata.blocks.length
  const p = basis.kept.length
  const betweenVisits = visits === null ? null : basisOf([...indicators(visits), ...all]).kept.length
  const runDf = n - (betweenVisits ?? p)
  const visitDf = betweenVisits === null ? null : betweenVisits - p
  const degrees =
    groups === null ? null : degreesOfFreedom(basis, groups, { runDf, visitDf: visitDf as number })
  const places = columns.map((_, c) => basis.kept.indexOf(c === 0 ? 0 : c + blockColumns.length))
  const covariance = (a: number, b: number): number => {
    let sum = 0
    for (let j = Math.max(a, b); j < p; j++) sum += root[a + j * p]! * root[b + j * p]!
    return sum
  }
  return {
    of: places.map((k) => {
      if (k < 0) return null
      const standardError = Math.sqrt(covariance(k, k))
      if (degrees === null) return { standardError, df: runDf > 0 ? runDf : null, betweenVisits: 0 }
      return { standardError, ...degrees(Float64Array.from({ length: p }, (_, j) => root[k + j * p]!)) }
    }),
    covariance: (a, b) => (places[a]! < 0 || places[b]! < 0 ? null : covariance(places[a]!, places[b]!)),
    runDf,
    visitDf,
  }
}

/** One column of 0 and 1 for each group, groups in the order of their numbers. */
export function indicators(groups: readonly number[]): Float64Array[] {
  return [...new Set(groups)]
    .sort((a, b) => a - b)
    .map((group) => Float64Array.from(groups, (of) => (of === group ? 1 : 0)))
}

/** The columns weighted by V^(−1/2), V = I + ratio·ZZ′ with Z the visits: least squares on them is that of the split plot. */
export function whitenedColumns(
  columns: readonly Float64Array[],
  visits: readonly number[],
  ratio: number,
): Float64Array[] {
  const groups = visitsOf(visits, ratio)
  return columns.map((column) => whitened(column, groups))
}

/** The runs of each visit, and 1/(1 + m·ratio): what its mean counts beside that of a visit without error. */
type Visits = { members: number[]; weight: number }[]

function visitsOf(visits: readonly number[], ratio: number): Visits {
  return [...new Set(visits)].map((visit) => {
    const members = visits.flatMap((of, i) => (of === visit ? [i] : []))
    return { members, weight: 1 / (1 + members.length * ratio) }
  })
}

function sumOver(column: Float64Array, members: readonly number[]): number {
  let sum = 0
  for (const i of members) sum += column[i]!
  return sum
}

/** V^(−1/2) x: each value less a share of its visit's mean, 1 − 1/√(1 + m·ratio) for a visit of m runs. */
function whitened(column: Float64Array, visits: Visits): Float64Array {
  const result = Float64Array.from(column)
  for (const { members, weight } of visits) {
    const away = ((1 - Math.sqrt(weight)) * sumOver(column, members)) / members.length
    for (const i of members) result[i]! -= away
  }
  return result
}

/**
 * For the weights of an estimate on the whitened, orthonormal columns: its degrees of freedom and how much of
 * it is between visits. With M the residual projection of the whitened model, D₁ = V⁻¹ and D₂ = V^(−1/2)ZZ′V^(−1/2)
 * the information of the two variances is ½ tr(M Dᵢ M Dⱼ).
 */
function degreesOfFreedom(
  basis: Basis,
  visits: Visits,
  { runDf, visitDf }: { runDf: number; visitDf: number },
): (weights: Float64Array) => Pick<TermError, 'df' | 'betweenVisits'> {
  const { q } = basis
  const p = q.length
  const n = visits.reduce((sum, { members }) => sum + members.length, 0)
  // Q′ DQ by visits: every D is d·(I − J) + Σ e_v J_v, J_v the mean over visit v; (d, e_v) multiply as they stand.
  const sums = visits.map(({ members }) =>
    q.map((column) => sumOver(column, members) / Math.sqrt(members.length)),
  )
  const inProduct = (d: number, e: (v: number) => number) => {
    const matrix = new Float64Array(p * p)
    for (let i = 0; i < p; i++) matrix[i + i * p] = d
    sums.forEach((own, v) => {
      const weight = e(v) - d
      for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) matrix[i + j * p]! += weight * own[i]! * own[j]!
    })
    return matrix
  }
  const forms = [
    { d: 1, e: (v: number) => visits[v]!.weight },
    { d: 0, e: (v: number) => visits[v]!.weight * visits[v]!.members.length },
  ]
  const single = forms.map(({ d, e }) => inProduct(d, e))
  const information = (a: number, b: number) => {
    const d = forms[a]!.d * forms[b]!.d
    const e = (v: number) => forms[a]!.e(v) * forms[b]!.e(v)
    const whole = d * (n - visits.length) + visits.reduce((sum, _, v) => sum + e(v), 0)
    const product = inProduct(d, e)
    let trace = 0
    for (let i = 0; i < p; i++) trace += product[i + i * p]!
    let both = 0
    for (let i = 0; i < p * p; i++) both += single[a]![i]! * single[b]![i]!
    return (whole - 2 * trace + both) / 2
  }
  /** With visits of one size the mean square between them has the variance of an estimate between them. */
  const equal = visits.every(({ members }) => members.length === visits[0]!.members.length)
  const ofRun = information(0, 0)
  const ofVisit = information(1, 1)
  const mixed = information(0, 1)
  const determinant = ofRun * ofVisit - mixed * mixed
  const degreesOf = (variance: number, [run, visit]: [number, number], between: number): number | null => {
    // Without an error between visits only what lies wholly within them can be judged, and the other way round.
    if (visitDf === 0) return between < 1e-9 && runDf > 0 ? runDf : null
    if (runDf === 0) return between > 1 - 1e-9 && equal ? visitDf : null
    const spread = run * run * ofVisit - 2 * run * visit * mixed + visit * visit * ofRun
    return (2 * variance ** 2 * determinant) / spread
  }
  const amongVisits = inProduct(0, (v) => visits[v]!.weight)
  return (weights) => {
    const along = (matrix: Float64Array) => {
      let sum = 0
      for (let i = 0; i < p; i++)
        for (let j = 0; j < p; j++) sum += weights[i]! * weights[j]! * matrix[i + j * p]!
      return sum
    }
    const [run, visit] = single.map(along) as [number, number]
    const variance = weights.reduce((sum, value) => sum + value * value, 0)
    const between = along(amongVisits)
    const betweenVisits = Math.min(1, Math.max(0, between / run))
    return { df: degreesOf(variance, [run, visit], betweenVisits), betweenVisits }
  }
}
