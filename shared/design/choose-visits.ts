import type { Plan, VisitChoice } from '../contract/results/plan.ts'
import type { DesignSettings, Factor } from '../contract/things.ts'
import type { Answer } from '../problem.ts'
import { basisOf, inverseRoot, logDeterminant } from './basis.ts'
import { withBlocks } from './block-contrasts.ts'
import { columnsOf, type DesignTerm, onlyOf } from './design-terms.ts'
import { whitenedColumns } from './error-strata.ts'
import { numbersCompared } from './optimal.ts'
import { averageVariance } from './prediction-variance.ts'

/** The share of the best precision that is good enough (our own rule, no source). */
const goodEnough = 0.9
/** Degrees of freedom without which an effect of the visits must be huge to be seen: at 2 about 6 errors. */
const enoughDf = 2

/** Whether the number of visits is left to the program: an optimal plan in one replicate that states none. */
export function leavesVisitsOpen(factors: readonly Factor[], design: DesignSettings): boolean {
  return (
    design.kind === 'optimal' &&
    design.visits === undefined &&
    design.replicates === 1 &&
    factors.some((factor) => factor.hardToChange)
  )
}

/**
 * Makes the plan with one number of visits after the other and takes the fewest that reach nine tenths of the
 * best precision and leave two degrees of freedom between visits; the best of them where none does. Precision is
 * |X′V⁻¹X|^(1/p)/n (D) or one over the mean variance of a prediction (I), with V = I + ratio·ZZ′ and given the
 * blocks: both rise as a number of runs would, so nine tenths of it are what a tenth fewer runs would tell.
 *
 * @param planWith the plan for a number of visits
 * @returns the plan, with the numbers compared
 */
export function chooseVisits(options: {
  factors: readonly Factor[]
  terms: readonly DesignTerm[]
  design: DesignSettings
  runs: number
  planWith: (visits: number) => Answer<Plan>
}): Answer<Plan> {
  const { factors, terms, design, runs, planWith } = options
  const hard = (f: number) => factors[f]!.hardToChange
  const between = terms.filter((term) => term.parts.length === 0 || onlyOf(term, hard)).length
  const least = Math.min(runs, between + design.blocks - 1)
  const answers = Array.from({ length: Math.min(numbersCompared(terms.length), runs - least + 1) }, (_, i) =>
    planWith(least + i),
  )
  const plans = answers.flatMap((answer) => (answer.ok ? [answer.value] : []))
  if (plans.length === 0) return answers[0] as Answer<Plan>
  const precision = plans.map((plan) => precisionOf(plan, terms, design))
  const best = Math.max(...precision)
  const choices = plans.map((plan, i): VisitChoice => {
    const visits = new Set(plan.runs.flatMap((run) => (own(run) ? [run.plateVisit] : []))).size
    return {
      visits,
      precision: precision[i]!,
      relativeEfficiency: best > 0 ? precision[i]! / best : 0,
      plateVisitDf: plan.evaluation.strata.find(({ stratum }) => stratum === 'plateVisit')?.df ?? 0,
      minutes: plan.budget.minutes,
      chosen: false,
    }
  })
  const chosen = chosenOf(choices)
  choices[chosen]!.chosen = true
  return { ok: true, value: { ...(plans[chosen] as Plan), visitChoices: choices } }
}

/** Runs of the design; reference wafers may have visits of their own. */
const own = ({ kind }: Plan['runs'][number]) => kind !== 'kept' && kind !== 'reference'

function chosenOf(choices: readonly VisitChoice[]): number {
  const precise = (choice: VisitChoice) => choice.relativeEfficiency >= goodEnough
  const both = choices.findIndex((choice) => precise(choice) && choice.plateVisitDf >= enoughDf)
  return both >= 0 ? both : choices.reduce((top, choice, i) => (better(choice, choices[top]!) ? i : top), 0)
}

const better = (a: VisitChoice, b: VisitChoice) => a.relativeEfficiency > b.relativeEfficiency + 1e-9

/** The split plot's precision, its blocks allowed for; 0 where a term cannot be told. */
export function precisionOf(
  { factors, runs }: Pick<Plan, 'factors' | 'runs'>,
  terms: readonly DesignTerm[],
  { criterion = 'D', varianceRatio = 1 }: Pick<DesignSettings, 'criterion' | 'varianceRatio'>,
): number {
  const { terms: all, places } = withBlocks(factors, terms, runs)
  const visits = runs.map((run) => run.plateVisit ?? 0)
  const basisFor = (some: readonly DesignTerm[]) =>
    basisOf(whitenedColumns(columnsOf(some, places), visits, varianceRatio))
  const basis = basisFor(all)
  if (basis.kept.length < all.length) return 0
  if (criterion === 'I') return 1 / averageVariance({ factors, terms: all, root: inverseRoot(basis) })
  const given = logDeterminant(basisFor(all.slice(terms.length)))
  return Math.exp((logDeterminant(basis) - given) / terms.length) / runs.length
}
