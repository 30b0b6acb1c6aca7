import type { Plan } from '../contract/results.ts'
import type { DesignSettings, Factor } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { type BenchFigures, budgetOf } from '../process/budget.ts'
import { type Random, seeded } from '../random.ts'
import { splitIntoBlocks } from './blocks.ts'
import { centrePoints } from './centre-points.ts'
import { checkFactors } from './check-factors.ts'
import { chooseVisits, leavesVisitsOpen } from './choose-visits.ts'
import { type DraftRun, draftRuns, type OrderedRun } from './design-point.ts'
import { columnsOf, type DesignTerm, orderOf, placeOf, sameTerm, usualTerms } from './design-terms.ts'
import { curvedIn, drawDesign } from './draw-design.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { evaluateDesign } from './evaluate.ts'
import { type Forbidden, parseForbidden } from './forbid.ts'
import { termsOfFormula } from './formula-terms.ts'
import { keptRuns } from './kept-runs.ts'
import { runsOf } from './optimal.ts'
import { orderRuns } from './run-order.ts'
import { type SplitRuns, settingKey } from './visits.ts'

/** The largest plan; more is refused, since nobody coats it and a slip of the finger makes it. */
const mostRuns = 500

/**
 * Makes a plan: the runs of a design in the order in which they are to be made, what they will be able to
 * tell, and what they cost. The same seed gives the same plan on every machine. Runs already made come first
 * and cost nothing.
 *
 * @param options.model the model to judge the plan by, in coded factors; without it that of the settings, or
 *   main effects, two-factor interactions and squares of factors with 3 or more levels
 * @returns runs in run order; or problems that name their factor as the column, `tooManyRuns` among them
 */
export function makePlan(options: {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  model?: string
}): Answer<Plan> {
  const { factors, design } = options
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
  const parts = { ...options, terms, usual, forbidden: forbidden.value, kept: kept.value }
  if (!leavesVisitsOpen(factors, design)) return planOnce(parts)
  return chooseVisits({
    factors,
    terms,
    design,
    runs: runsOf(design, terms, kept.value.length + design.centre),
    planWith: (visits) => planOnce({ ...parts, design: { ...design, visits } }),
  })
}

type Parts = {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  terms: readonly DesignTerm[]
  usual: readonly DesignTerm[]
  forbidden: Forbidden
  kept: DraftRun[]
}

/** The plan for settings that leave nothing open. */
function planOnce({ factors, design, bench, terms, usual, forbidden, kept }: Parts): Answer<Plan> {
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
  })
  if (!ordered.ok) return ordered
  const made = ordered.value.runs
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
    budget: budgetOf({ runs: plateTemperatures(factors, made.slice(kept.length)), bench }),
    designInWords: drawn.value.words,
    orderInWords: ordered.value.words,
  })
}

function checkSize(
  factors: readonly Factor[],
  design: DesignSettings,
  drawn: DrawnDesign,
  kept: number,
  forbiddenCentre: boolean,
): Problem | null {
  const count = drawn.size * design.replicates + design.centre + kept
  if (count > mostRuns)
    return {
      code: 'tooManyRuns',
      message:
        `This plan would have ${count} runs; at most ${mostRuns} can be planned. ` +
        'Take fewer factors, levels or replicates, or a design that leaves combinations out.',
    }
  if (design.centre > 0 && factors.every((factor) => factor.kind === 'categorical'))
    return {
      code: 'noCentre',
      message: 'Centre points need at least one factor with a range: levels by name have no middle.',
      column: 'centre',
    }
  if (forbiddenCentre)
    return {
      code: 'centreLeftOut',
      message: 'The centre is among the combinations to leave out. Plan no centre points, or allow it.',
      column: 'centre',
    }
  if (design.blocks > 1 && design.blocks * 2 > count - kept)
    return {
      code: 'tooManyBlocks',
      message: `${count - kept} runs do not fill ${design.blocks} blocks with at least 2 runs each. Take fewer blocks.`,
      column: 'blocks',
    }
  return null
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

/** Runs that the design itself has no block for: whole replicates to each block where they divide, otherwise the runs split so that effects stay clear. */
function inBlocks(runs: readonly DraftRun[], { blocks, replicates }: DesignSettings, split: SplitRuns) {
  if (blocks === 1) return [...runs]
  if (replicates % blocks === 0)
    return runs.map((run, i) => ({ ...run, block: Math.floor((i * blocks) / runs.length) + 1 }))
  const block = split(runs, blocks)
  return runs.map((run, i) => ({ ...run, block: block[i] as number }))
}

/** Shares runs out so that the effects stay clear of the parts, main effects before the others. */
function split(factors: readonly Factor[], terms: readonly DesignTerm[], random: Random): SplitRuns {
  const effects = terms.filter((term) => term.parts.length > 0)
  const hard = factors.filter((factor) => factor.hardToChange)
  return (runs, parts) =>
    splitIntoBlocks({
      columns: columnsOf(
        effects,
        runs.map((run) => placeOf(factors, run.coded)),
      ),
      weights: effects.map((term) => (orderOf(term) === 1 ? 100 : 1)),
      runs: runs.length,
      blocks: parts,
      ...(hard.length > 0 ? { settings: runs.map((run) => settingKey(hard, run)) } : {}),
      random,
    })
}

/** The plate's setting of each run, °C; null where bake temperature is no factor. */
function plateTemperatures(
  factors: readonly Factor[],
  runs: readonly OrderedRun[],
): { plateTemperature: number | null }[] {
  const bake = factors.find((factor) => factor.role === 'bake temperature' && factor.kind === 'continuous')
  return runs.map((run) => ({
    plateTemperature: bake === undefined ? null : (run.settings[bake.name] as number),
  }))
}
