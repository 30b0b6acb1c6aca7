import type { Plan } from '../contract/results/plan.ts'
import type { DesignSettings, Factor, Settings } from '../contract/things.ts'
import { type Answer, good } from '../problem.ts'
import { type BenchFigures, budgetOf, tidy } from '../process/budget.ts'
import { randomOrderWait } from '../process/random-order.ts'
import { fitsSlot, timelineOf } from '../process/timeline.ts'
import { checkFactors } from './check-factors.ts'
import { chooseVisits, leavesVisitsOpen } from './choose-visits.ts'
import type { OrderedRun } from './design-point.ts'
import { usualTerms } from './design-terms.ts'
import { curvedIn } from './draw-design.ts'
import { parseForbidden } from './forbid.ts'
import { termsOfFormula } from './formula-terms.ts'
import { keptRuns } from './kept-runs.ts'
import { type LaidOut, layOut, type PlanParts } from './lay-out.ts'
import { runsOf } from './optimal.ts'
import { repeatWhereItFits } from './repeat-visit.ts'
import { waysToFit } from './ways-to-fit.ts'

type PlanOptions = {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  reference?: Settings
  model?: string
}

/**
 * Makes a plan: the runs of a design in the order in which they are to be made, what they will be able to
 * tell, what they cost, and when they are done. The same seed gives the same plan on every machine. Runs already made
 * come first and cost nothing.
 *
 * @param options.reference the settings of a reference wafer, for a design that asks for it
 * @param options.model the model to judge the plan by, in coded factors; without it that of the settings, or
 *   main effects, two-factor interactions and squares of factors with 3 or more levels
 * @returns runs in run order; or problems that name their factor as the column, `tooManyRuns` among them
 */
export function makePlan(options: PlanOptions): Answer<Plan> {
  const found = partsOf(options)
  if (!found.ok) return found
  const parts = found.value
  const made = settled(parts)
  if (!made.ok) return made
  const { plan, visits } = made.value
  if (fitsSlot(plan.timeline)) return good(plan)
  const { factors, design, usual } = parts
  const asked = options.model ?? design.model
  return good({
    ...plan,
    waysToFit: waysToFit({
      plan,
      design,
      // A number of visits that was chosen stays while other changes are tried.
      visits: design.visits === undefined ? visits : undefined,
      bench: options.bench,
      planWith(change, bench = options.bench) {
        const other = withBlocksForSessions(change)
        const curved = other.kind === design.kind ? usual : usualTerms(factors, curvedIn(other.kind))
        const terms = asked === undefined ? curved : parts.terms
        const answer = settled({ ...parts, bench, design: other, terms, usual: curved })
        return answer.ok ? answer.value.plan : null
      },
    }),
  })
}

/** The same without the ways to fit it into what is booked, which take many plans, for who needs the runs alone. */
export function planWithoutWays(options: PlanOptions): Answer<Plan> {
  const parts = partsOf(options)
  if (!parts.ok) return parts
  const made = settled(parts.value)
  return made.ok ? good(made.value.plan) : made
}

function partsOf(options: PlanOptions): Answer<Parts> {
  const { factors } = options
  const design = withBlocksForSessions(options.design)
  const problems = checkFactors(factors)
  if (problems.length > 0) return { ok: false, problems }
  const usual = usualTerms(factors, curvedIn(design.kind))
  const formula = options.model ?? design.model
  const named = formula === undefined ? good(usual) : termsOfFormula(formula, factors)
  if (!named.ok) return named
  const terms = named.value
  const forbidden = parseForbidden(design.forbid ?? '', factors)
  if (!forbidden.ok) return forbidden
  const kept = keptRuns(factors, design.keep ?? [])
  if (!kept.ok) return kept
  const { value } = forbidden
  return good({ ...options, design, terms, usual, forbidden: value, kept: kept.value, laidOut: new Map() })
}

/** The plan, with the number of visits that was chosen where the settings leave it to the program. */
function settled(parts: Parts): Answer<{ plan: Plan; visits?: number }> {
  const { factors, design, terms, kept } = parts
  const planWith = (visits: number) => planOnce({ ...parts, design: { ...design, visits } })
  if (!leavesVisitsOpen(factors, design)) {
    const made = planOnce(parts)
    return made.ok ? good({ plan: repeatWhereItFits({ factors, design, plan: made.value, planWith }) }) : made
  }
  const asked = new Map<Plan['runs'], number>()
  const chosen = chooseVisits({
    factors,
    terms,
    design,
    runs: runsOf(design, terms, kept.length + design.centre),
    planWith(visits) {
      const made = planWith(visits)
      if (made.ok) asked.set(made.value.runs, visits)
      return made
    },
  })
  return chosen.ok ? good({ plan: chosen.value, visits: asked.get(chosen.value.runs) as number }) : chosen
}

/** Each session is a block at least. */
const withBlocksForSessions = (design: DesignSettings): DesignSettings => ({
  ...design,
  blocks: Math.max(design.blocks, design.sessions ?? 1),
})

type Parts = PlanParts & {
  /** What was laid out before, by the design without its reading, for plans that differ in their times alone. */
  laidOut: Map<string, Answer<LaidOut>>
}

/** The plan for settings that leave nothing open. */
function planOnce(parts: Parts): Answer<Plan> {
  const { factors, design, bench, kept, laidOut } = parts
  const key = JSON.stringify({ ...design, reading: undefined })
  const laid = laidOut.get(key) ?? layOut(parts)
  laidOut.set(key, laid)
  if (!laid.ok) return laid
  const { runs, evaluation, designInWords, orderInWords } = laid.value
  const atBench = benchRuns(factors, runs.slice(kept.length))
  const budget = budgetOf({ runs: atBench, bench })
  const average = randomOrderWait(atBench, bench)
  return good({
    seed: design.seed,
    factors,
    runs,
    evaluation,
    budget,
    timeline: timelineOf({ runs: atBench, bench, reading: design.reading ?? 'after' }),
    minutesSaved: average === null ? null : tidy(average - budget.plateMinutes),
    waysToFit: [],
    designInWords,
    orderInWords,
  })
}

/** The runs as the bench sees them. */
function benchRuns(factors: readonly Factor[], runs: readonly OrderedRun[]) {
  const bake = factors.find((factor) => factor.role === 'bake temperature' && factor.kind === 'continuous')
  return runs.map((run) => ({
    runOrder: run.runOrder,
    session: run.session,
    reference: run.kind === 'reference',
    plateTemperature: bake === undefined ? null : (run.settings[bake.name] as number),
  }))
}
