import type { Plan } from '../contract/results/plan.ts'
import type { DesignSettings, Factor, Settings } from '../contract/things.ts'
import { type Answer, good } from '../problem.ts'
import { type BenchFigures, budgetOf } from '../process/budget.ts'
import { randomOrderWait } from '../process/random-order.ts'
import { fitsSlot, timelineOf } from '../process/timeline.ts'
import { seeded } from '../random.ts'
import { centrePoints } from './centre-points.ts'
import { visitCost } from './cheapest-visits.ts'
import { checkFactors } from './check-factors.ts'
import { checkSize } from './check-size.ts'
import { chooseVisits, leavesVisitsOpen } from './choose-visits.ts'
import { type DraftRun, draftRuns, type OrderedRun } from './design-point.ts'
import { type DesignTerm, placeOf, sameTerm, usualTerms } from './design-terms.ts'
import { curvedIn, drawDesign } from './draw-design.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { evaluateDesign } from './evaluate.ts'
import { type Forbidden, parseForbidden } from './forbid.ts'
import { termsOfFormula } from './formula-terms.ts'
import { keptRuns } from './kept-runs.ts'
import { runsOf } from './optimal.ts'
import { repeatWhereItFits } from './repeat-visit.ts'
import { orderRuns } from './run-order.ts'
import { inBlocks, split } from './share-out.ts'
import { type SplitRuns, settingKey, type VisitOrder } from './visits.ts'
import { waysToFit } from './ways-to-fit.ts'

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
export function makePlan(options: {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  reference?: Settings
  model?: string
}): Answer<Plan> {
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
  const parts = { ...options, design, terms, usual, forbidden: forbidden.value, kept: kept.value }
  const made = settled(parts)
  if (!made.ok) return made
  const { plan, visits } = made.value
  if (fitsSlot(plan.timeline)) return good(plan)
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
        const model = formula === undefined ? curved : terms
        const answer = settled({ ...parts, bench, design: other, terms: model, usual: curved })
        return answer.ok ? answer.value.plan : null
      },
    }),
  })
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

type Parts = {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  reference?: Settings
  terms: readonly DesignTerm[]
  usual: readonly DesignTerm[]
  forbidden: Forbidden
  kept: DraftRun[]
}

/** The plan for settings that leave nothing open. */
function planOnce(parts: Parts): Answer<Plan> {
  const { factors, design, bench, terms, usual, forbidden, kept } = parts
  const reference = design.reference ? parts.reference : undefined
  const centres = draftRuns(factors, centrePoints(factors, design.centre))
  const forbiddenCentre = centres.some((run) => forbidden.forbids(run.settings))
  const random = seeded(design.seed)
  const drawn = drawDesign({
    factors,
    settings: design,
    terms,
    kept: kept.map((run) => placeOf(factors, run.coded)),
    centres: centres.map((run) => placeOf(factors, run.coded)),
    forbidden: forbidden,
    random,
  })
  if (!drawn.ok) return drawn
  const wrong = checkSize(factors, design, drawn.value, kept.length, forbiddenCentre)
  if (wrong !== null) return { ok: false, problems: [wrong] }
  const runs = designRuns(factors, design, drawn.value, split(factors, terms, random))
  const ordered = orderRuns({
    factors,
    kept: kept,
    runs: numbered([...runs, ...centres], kept.length),
    random,
    visits: design.visits,
    split: split(factors, terms, random),
    visitOrder: visitOrderOf(factors, design, bench, reference),
    blocks: design.blocks,
    sessions: design.sessions,
    reference,
  })
  if (!ordered.ok) return ordered
  const made = ordered.value.runs
  const atBench = benchRuns(factors, made.slice(kept.length))
  const budget = budgetOf({ runs: atBench, bench })
  const average = randomOrderWait(atBench, bench)
  return good({
    seed: design.seed,
    factors,
    runs: made,
    evaluation: evaluateDesign({
      factors,
      runs: made,
      terms,
      outside: usual.filter((term) => !terms.some((other) => sameTerm(other, term))),
      power: design.power,
      varianceRatio: design.varianceRatio,
    }),
    budget,
    timeline: timelineOf({ runs: atBench, bench, reading: design.reading ?? 'after' }),
    minutesSaved: average === null ? null : Number((average - budget.plateMinutes).toPrecision(12)),
    waysToFit: [],
    designInWords: drawn.value.words,
    orderInWords: ordered.value.words,
  })
}

function designRuns(
  factors: readonly Factor[],
  design: DesignSettings,
  drawn: DrawnDesign,
  split: SplitRuns,
): DraftRun[] {
  const points = drawn.points()
  const once = draftRuns(factors, points)
  const runs = Array.from({ length: design.replicates }, () => once).flat()
  return points.every((point) => point.block !== undefined) ? runs : inBlocks(runs, design, split)
}

/** Standard order counts on from the runs already made. */
function numbered(runs: readonly DraftRun[], kept: number): DraftRun[] {
  return runs.map((run, i) => ({ ...run, standardOrder: kept + i + 1 }))
}

function visitOrderOf(
  factors: readonly Factor[],
  design: DesignSettings,
  bench: BenchFigures,
  reference: Settings | undefined,
): VisitOrder {
  if (design.visitOrder !== 'cheapest') return { by: 'chance' }
  const hard = factors.filter((factor) => factor.hardToChange)
  return {
    by: 'cost',
    cost: visitCost(hard, bench),
    reference: reference && settingKey(hard, { settings: reference }),
  }
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
