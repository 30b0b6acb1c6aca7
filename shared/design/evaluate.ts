import type { DesignEvaluation } from '../contract/results.ts'
import type { Factor } from '../contract/things.ts'
import { type Basis, basisOf, coefficientsOn, inverseRoot, logDeterminant } from './basis.ts'
import type { CodedSettings } from './code.ts'
import { columnsOf, type DesignTerm, onlyOf, placeOf } from './design-terms.ts'
import { detectableShift } from './detectable.ts'
import { indicators, termErrors } from './error-strata.ts'
import { averageVariance, maximumVariance } from './prediction-variance.ts'

/** A run as the evaluation sees it: from this program's designs or from any published table. */
export type EvaluatedRun = { coded: CodedSettings; block?: number; plateVisit?: number | null }

export type EvaluationOptions = {
  factors: readonly Factor[]
  runs: readonly EvaluatedRun[]
  /** The model, the constant first. */
  terms: readonly DesignTerm[]
  /** Terms outside the model whose effects would be mistaken for those of its terms. */
  outside?: readonly DesignTerm[]
  /** Probability to find an effect of the smallest detectable size; 0.8 unless given. */
  power?: number
  /**
   * Visit variance over run variance where a factor is hard to change; 1 unless given (common practice for
   * planning a split plot, no source).
   */
  varianceRatio?: number
}

/**
 * What a design will be able to tell, before a run is made. `dEfficiency` is 100·|X′X|^(1/p)/n, 0 where a term
 * cannot be estimated; prediction variances are in σ² of a run, over the cube −1…+1; effects are coefficients
 * in σ of a run, found with the given power by a two-sided t test at 0.05. Terms that hold only hard-to-change
 * factors are tested against the error between visits, all others against the error between runs.
 */
export function evaluateDesign(options: EvaluationOptions): DesignEvaluation {
  const { factors, runs, terms, outside = [], power = 0.8, varianceRatio = 1 } = options
  const places = runs.map((run) => placeOf(factors, run.coded))
  const columns = columnsOf(terms, places)
  const basis = basisOf(columns)
  const whole = basis.kept.length === terms.length && runs.length > 0
  const variance = whole ? { factors, terms, root: inverseRoot(basis) } : null
  const blocks = runs.map((run) => run.block ?? 1)
  const hard = factors.map((factor) => factor.hardToChange)
  const ofVisit = terms.map((term) => term.parts.length === 0 || onlyOf(term, (f) => hard[f] === true))
  const grouped = hard.some(Boolean) && runs.every((run) => typeof run.plateVisit === 'number')
  const errors = termErrors(columns, ofVisit, {
    blocks,
    visits: grouped ? runs.map((run) => run.plateVisit as number) : null,
    varianceRatio,
  })
  return {
    terms: terms.map((term) => term.name),
    dEfficiency: runs.length === 0 ? null : whole ? dEfficiency(basis, runs.length) : 0,
    averagePredictionVariance: variance === null ? null : averageVariance(variance),
    maximumPredictionVariance: variance === null ? null : maximumVariance(variance),
    smallestDetectable: detectableEffects({ terms, ofVisit, grouped, errors, estimable: basis.kept, power }),
    aliases: [
      ...aliasesOf(terms, basis, columns, outside, columnsOf(outside, places)),
      ...hiddenByBlocks(terms, basis, errors.standardErrors),
    ],
    residualDf: runs.length - basisOf([...indicators(blocks), ...columns]).kept.length,
    pureErrorDf: pureErrorDf(runs, blocks),
  }
}

function dEfficiency(basis: Basis, runs: number): number {
  return (100 * Math.exp(logDeterminant(basis) / basis.kept.length)) / runs
}

function detectableEffects(options: {
  terms: readonly DesignTerm[]
  ofVisit: readonly boolean[]
  grouped: boolean
  errors: ReturnType<typeof termErrors>
  estimable: readonly number[]
  power: number
}): DesignEvaluation['smallestDetectable'] {
  const { terms, ofVisit, grouped, errors, estimable, power } = options
  const runShift = detectableShift(power, errors.runDf)
  const visitShift = errors.visitDf === null ? null : detectableShift(power, errors.visitDf)
  return terms.flatMap((term, t) => {
    if (term.parts.length === 0) return []
    const stratum = grouped && ofVisit[t] ? ('plateVisit' as const) : ('run' as const)
    const shift = stratum === 'run' ? runShift : visitShift
    const standardError = estimable.includes(t) ? (errors.standardErrors[t] ?? null) : null
    return [
      {
        term: term.name,
        effect: shift === null || standardError === null ? null : shift * standardError,
        power,
        stratum,
      },
    ]
  })
}

/** Each term that can be estimated with what else its estimate holds: terms left out of, or lost in, the model. */
function aliasesOf(
  terms: readonly DesignTerm[],
  basis: Basis,
  columns: readonly Float64Array[],
  outside: readonly DesignTerm[],
  outsideColumns: readonly Float64Array[],
): DesignEvaluation['aliases'] {
  const kept = new Set(basis.kept)
  const others = [
    ...terms
      .map((term, t) => ({ term, column: columns[t]!, hidden: !kept.has(t) }))
      .filter((one) => one.hidden),
    ...outside.map((term, t) => ({ term, column: outsideColumns[t]! })),
  ].map(({ term, column }) => ({ term, coefficients: coefficientsOn(basis, column) }))
  return basis.kept.flatMap((place, k) => {
    const term = (terms[place] as DesignTerm).name
    const mixed = others
      .filter((other) => Math.abs(other.coefficients[k]!) > 1e-9)
      .map((other) => ({
        term: other.term.name,
        coefficient: Number(other.coefficients[k]!.toPrecision(12)),
      }))
    return mixed.length > 0 ? [{ term, with: mixed }] : []
  })
}

/** Terms that the runs could tell but that cannot be told from a difference between blocks. */
function hiddenByBlocks(
  terms: readonly DesignTerm[],
  basis: Basis,
  standardErrors: readonly (number | null)[],
): DesignEvaluation['aliases'] {
  return basis.kept
    .filter((place) => standardErrors[place] === null)
    .map((place) => ({ term: (terms[place] as DesignTerm).name, with: [{ term: 'block', coefficient: 1 }] }))
}

/** Runs repeated at the same settings within a block, less one for each such set. */
function pureErrorDf(runs: readonly EvaluatedRun[], blocks: readonly number[]): number {
  const distinct = new Set(
    runs.map((run, i) => JSON.stringify([blocks[i], Object.entries(run.coded).sort()])),
  )
  return runs.length - distinct.size
}
