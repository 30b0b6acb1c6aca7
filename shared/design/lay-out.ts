import type { Plan } from '../contract/results/plan.ts'
import type { DesignSettings, Factor, Settings } from '../contract/things.ts'
import { type Answer, good } from '../problem.ts'
import type { BenchFigures } from '../process/budget.ts'
import { seeded } from '../random.ts'
import { centrePoints } from './centre-points.ts'
import { visitCost } from './cheapest-visits.ts'
import { checkSize } from './check-size.ts'
import { type DraftRun, draftRuns } from './design-point.ts'
import { type DesignTerm, placeOf, sameTerm } from './design-terms.ts'
import { drawDesign } from './draw-design.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { evaluateDesign } from './evaluate.ts'
import type { Forbidden } from './forbid.ts'
import { orderRuns } from './run-order.ts'
import { inBlocks, split } from './share-out.ts'
import { type SplitRuns, settingKey, type VisitOrder } from './visits.ts'

/** What a plan is laid out from, its texts read and checked. */
export type PlanParts = {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  reference?: Settings
  terms: readonly DesignTerm[]
  usual: readonly DesignTerm[]
  forbidden: Forbidden
  kept: DraftRun[]
}

/** The runs in their order and what they can tell: what the time of reading and its minutes do not change. */
export type LaidOut = Pick<Plan, 'runs' | 'evaluation' | 'designInWords' | 'orderInWords'>

/**
 * Draws a design, puts its runs in order and judges them. The same seed gives the same runs on every machine.
 *
 * @returns problems where the design cannot be had or run as it is
 */
export function layOut(parts: PlanParts): Answer<LaidOut> {
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
    forbidden,
    random,
  })
  if (!drawn.ok) return drawn
  const wrong = checkSize(factors, design, drawn.value, kept.length, forbiddenCentre)
  if (wrong !== null) return { ok: false, problems: [wrong] }
  const runs = designRuns(factors, design, drawn.value, split(factors, terms, random))
  const ordered = orderRuns({
    factors,
    kept,
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
  return good({
    runs: ordered.value.runs,
    evaluation: evaluateDesign({
      factors,
      runs: ordered.value.runs,
      terms,
      outside: usual.filter((term) => !terms.some((other) => sameTerm(other, term))),
      power: design.power,
      varianceRatio: design.varianceRatio,
    }),
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
