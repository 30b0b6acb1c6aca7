import type { Plan } from '../contract/results.ts'
import type { DesignSettings, Factor } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { type BenchFigures, budgetOf } from '../process/budget.ts'
import { type Random, seeded } from '../random.ts'
import { splitIntoBlocks } from './blocks.ts'
import { centrePoints } from './centre-points.ts'
import { checkFactors } from './check-factors.ts'
import { type DraftRun, draftRuns } from './design-point.ts'
import { columnsOf, type DesignTerm, orderOf, placeOf, sameTerm, usualTerms } from './design-terms.ts'
import { evaluateDesign } from './evaluate.ts'
import { termsOfFormula } from './formula-terms.ts'
import { fullFactorial, gridSize } from './full-factorial.ts'
import { type OrderedRun, orderRuns } from './run-order.ts'

/** The largest plan; more is refused, since nobody coats it and a slip of the finger makes it. */
export const mostRuns = 500

/**
 * Makes a plan: the runs of a design in the order in which they are to be made, what they will be able to
 * tell, and what they cost. The same seed gives the same plan on every machine.
 *
 * @param options.model the model to judge the plan by, in coded factors; without it main effects, two-factor
 *   interactions and squares of factors with 3 or more levels
 * @returns runs in run order; or problems that name their factor as the column, `tooManyRuns` among them
 */
export function makePlan(options: {
  factors: Factor[]
  design: DesignSettings
  bench: BenchFigures
  model?: string
}): Answer<Plan> {
  const { factors, design, bench } = options
  const problems = checkFactors(factors)
  if (problems.length > 0) return { ok: false, problems }
  const wrong = checkDesign(factors, design)
  if (wrong !== null) return { ok: false, problems: [wrong] }
  const random = seeded(design.seed)
  const usual = usualTerms(factors, (factor) => factor.levels >= 3)
  const named = options.model === undefined ? good(usual) : termsOfFormula(options.model, factors)
  if (!named.ok) return named
  const terms = named.value
  const runs = inBlocks(factors, gridRuns(factors, design), terms, design, random)
  const centres = draftRuns(factors, centrePoints(factors, design.centre), runs.length + 1)
  const ordered = orderRuns({ factors, runs: [...runs, ...centres], random })
  return good({
    seed: design.seed,
    factors,
    runs: ordered.runs,
    evaluation: evaluateDesign({
      factors,
      runs: ordered.runs,
      terms,
      outside: usual.filter((term) => !terms.some((other) => sameTerm(other, term))),
      power: design.power,
    }),
    budget: budgetOf({ runs: plateTemperatures(factors, ordered.runs), bench }),
    orderInWords: ordered.words,
  })
}

function checkDesign(factors: readonly Factor[], design: DesignSettings): Problem | null {
  const count = gridSize(factors) * design.replicates + design.centre
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
  if (design.blocks * 2 > count && design.blocks > 1)
    return {
      code: 'tooManyBlocks',
      message: `${count} runs do not fill ${design.blocks} blocks with at least 2 runs each. Take fewer blocks.`,
      column: 'blocks',
    }
  return null
}

function gridRuns(factors: readonly Factor[], design: DesignSettings): DraftRun[] {
  const grid = fullFactorial(factors)
  return Array.from({ length: design.replicates }, (_, r) =>
    draftRuns(factors, grid, r * grid.length + 1),
  ).flat()
}

/** Whole replicates to each block where they divide, otherwise the runs split so that effects stay clear. */
function inBlocks(
  factors: readonly Factor[],
  runs: readonly DraftRun[],
  terms: readonly DesignTerm[],
  design: DesignSettings,
  random: Random,
): DraftRun[] {
  const { blocks, replicates } = design
  if (blocks === 1) return [...runs]
  if (replicates % blocks === 0)
    return runs.map((run, i) => ({ ...run, block: Math.floor((i * blocks) / runs.length) + 1 }))
  const effects = terms.filter((term) => term.parts.length > 0)
  const places = runs.map((run) => placeOf(factors, run.coded))
  const block = splitIntoBlocks({
    columns: columnsOf(effects, places),
    weights: effects.map((term) => (orderOf(term) === 1 ? 100 : 1)),
    runs: runs.length,
    blocks,
    random,
  })
  return runs.map((run, i) => ({ ...run, block: block[i] as number }))
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
