import type { DesignEvaluation } from '../contract/results/plan.ts'
import type { Factor } from '../contract/things.ts'
import { aliasesOf, hiddenByBlocks } from './aliases.ts'
import { type Basis, basisOf, inverseRoot, logDeterminant } from './basis.ts'
import { withBlocks } from './block-contrasts.ts'
import type { CodedSettings } from './code.ts'
import { correlationsOf } from './correlations.ts'
import { columnsOf, type DesignTerm, placeOf } from './design-terms.ts'
import { detectableEffects } from './detectable-effects.ts'
import { indicators, termErrors } from './error-strata.ts'
import { averageVariance, maximumVariance, type VarianceOf } from './prediction-variance.ts'
import { pureErrorDf } from './pure-error.ts'
import { smallestDifferences } from './smallest-differences.ts'
import { varianceShares } from './variance-shares.ts'

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
 * cannot be estimated; prediction variances are in σ² of a run, over the cube −1…+1, for the mean block; effects are coefficients
 * in σ of a run, found with the given power by a two-sided t test at 0.05. Each term is tested against the
 * error of the stratum in which it is estimated, which is that between visits where its column changes with the
 * visits only, whatever its factors are.
 */
export function evaluateDesign(options: EvaluationOptions): DesignEvaluation {
  const { factors, runs, terms, outside = [], power = 0.8, varianceRatio = 1 } = options
  const places = runs.map((run) => placeOf(factors, run.coded))
  const columns = columnsOf(terms, places)
  const basis = basisOf(columns)
  const whole = basis.kept.length === terms.length && runs.length > 0
  const blocks = runs.map((run) => run.block ?? 1)
  const given = givenBlocks(factors, terms, runs)
  const variance = whole ? given.variance : null
  const grouped =
    factors.some((factor) => factor.hardToChange) && runs.every((run) => typeof run.plateVisit === 'number')
  const visits = grouped ? runs.map((run) => run.plateVisit as number) : null
  const errors = termErrors(columns, { blocks, visits, varianceRatio })
  const maximum = variance === null ? null : maximumVariance(variance)
  const residualDf = runs.length - basisOf([...indicators(blocks), ...columns]).kept.length
  const repeats = pureErrorDf(runs, blocks)
  return {
    terms: terms.map((term) => term.name),
    dEfficiency: runs.length === 0 ? null : whole ? dEfficiency(basis, runs.length) : 0,
    blockEfficiency: whole ? given.efficiency : null,
    averagePredictionVariance: variance === null ? null : averageVariance(variance),
    maximumPredictionVariance: maximum,
    predictionVarianceShares: variance === null || maximum === null ? [] : varianceShares(variance, maximum),
    smallestDetectable: detectableEffects(terms, errors, power),
    smallestDifferences: smallestDifferences(factors, terms, errors, power),
    correlations: correlationsOf(terms, errors),
    aliases: [
      ...aliasesOf(terms, basis, columns, outside, columnsOf(outside, places)),
      ...hiddenByBlocks(terms, basis, errors),
    ],
    residualDf,
    pureErrorDf: repeats,
    strata: strataOf(errors, repeats, visits === null ? null : pureErrorDf(runs, visits)),
  }
}

function dEfficiency(basis: Basis, runs: number): number {
  return (100 * Math.exp(logDeterminant(basis) / basis.kept.length)) / runs
}

/**
 * What the shifts of the blocks leave: the variance of predictions for the mean block, null where blocks hide a
 * term; and the efficiency 100·(|information of the effects given blocks| / |that of the same runs in one
 * block|)^(1/effects), 100 where the blocks are orthogonal to the effects, null without further blocks.
 */
function givenBlocks(
  factors: readonly Factor[],
  terms: readonly DesignTerm[],
  runs: readonly EvaluatedRun[],
): { variance: VarianceOf | null; efficiency: number | null } {
  const { terms: all, places } = withBlocks(factors, terms, runs)
  const basisFor = (some: readonly DesignTerm[]) => basisOf(columnsOf(some, places))
  const basis = basisFor(all)
  const told = basis.kept.length === all.length
  const variance = told ? { factors, terms: all, root: inverseRoot(basis) } : null
  const effects = terms.length - 1
  if (all.length === terms.length || effects === 0) return { variance, efficiency: null }
  if (!told) return { variance, efficiency: 0 }
  const alone = basisFor([terms[0] as DesignTerm, ...all.slice(terms.length)])
  const apart = logDeterminant(basis) - logDeterminant(alone)
  const together = logDeterminant(basisFor(terms)) - Math.log(runs.length)
  return { variance, efficiency: 100 * Math.exp((apart - together) / effects) }
}

/** Degrees of freedom of the error by stratum; repeats between visits are those that are not within them. */
function strataOf(
  { runDf, visitDf }: ReturnType<typeof termErrors>,
  repeats: number,
  withinVisits: number | null,
): DesignEvaluation['strata'] {
  const stratum = (name: 'run' | 'plateVisit', df: number, pure: number) => ({
    stratum: name,
    df,
    pureErrorDf: pure,
    lackOfFitDf: df - pure,
  })
  if (visitDf === null || withinVisits === null) return [stratum('run', runDf, repeats)]
  return [stratum('plateVisit', visitDf, repeats - withinVisits), stratum('run', runDf, withinVisits)]
}
