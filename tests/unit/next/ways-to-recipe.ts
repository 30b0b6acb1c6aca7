import { confirmationOfRecipe } from '../../../electron/engine/compute/confirmation.ts'
import { recipeOfRuns } from '../../../electron/engine/compute/recipe.ts'
import type { ConfirmationRecord } from '../../../shared/contract/results/confirmation.ts'
import type { DesignSettings, Factor, Settings } from '../../../shared/contract/things.ts'
import { roundToStep } from '../../../shared/design/code.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { parseFormula } from '../../../shared/model/formula.ts'
import { responseScale } from '../../../shared/model/response.ts'
import { judgeConfirmation, type RunOfSet } from '../../../shared/next/judge-confirmation.ts'
import type { Answer } from '../../../shared/problem.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import { rehearsalModel } from '../../../shared/rehearsal/rehearsal-model.ts'
import type { Lab, Wafer } from './invented-lab.ts'

/** What is asked of every way: the goal, how a recipe is confirmed, and the wafers that there are in all. */
export type Task = {
  target: number
  tolerance: number
  /** Wafers on each day of the confirmation. */
  days: number[]
  budget: number
}

/** The settings that were confirmed, and the wafers that it took; null where these did not suffice. */
export type Confirmed = { settings: Settings; wafers: number } | null

export type Way = (lab: Lab, task: Task) => Confirmed

const value = <T>(answer: Answer<T>): T => {
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}
const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length

/** Numbers the sessions of a study. */
const sessionsOf = () => {
  let last = 0
  return () => `Day ${++last}`
}

/**
 * Coats a confirmation day by day, judged after each by the program’s own rule, given up once it cannot pass. Null
 * where the wafers do not suffice.
 */
function confirm(
  lab: Lab,
  { days, budget }: Task,
  nextSession: () => string,
  record: ConfirmationRecord,
): { passed: boolean; wafers: Wafer[] } | null {
  const formula = parseFormula(record.model)
  if (!formula.ok || !formula.value.response) throw new Error(record.model)
  const scale = responseScale(formula.value.response)
  const wafers: Wafer[] = []
  const waiting = (i: number): RunOfSet => ({
    code: `C${i}`,
    session: null,
    state: 'waiting',
    measured: null,
    evenness: null,
  })
  const planned = days.reduce((sum, day) => sum + day, 0)
  for (const onDay of days) {
    if (lab.count() + onDay > budget) return null
    const session = nextSession()
    for (let i = 0; i < onDay; i++) wafers.push(lab.coat(record.settings, session))
    const runs = Array.from({ length: planned }, (_, i): RunOfSet => {
      const wafer = wafers[i]
      if (!wafer) return waiting(i)
      const { run, mean: measured, uneven } = wafer
      return { code: run.code, session: run.session, state: 'measured', measured, evenness: uneven }
    })
    const { verdict } = judgeConfirmation({ record, scale, runs, speedStep: null })
    if (verdict !== 'not yet') return { passed: verdict === 'passed', wafers }
  }
  throw new Error('All wafers are measured and nothing is decided.')
}

/**
 * The program’s own way: a first plan on one day, the recipe by its fit, and its confirmation; where that fails, what was
 * measured for it is data for the next.
 */
export const ourWay =
  ({ plan }: { plan: (lab: Lab) => Settings[] }): Way =>
  (lab, task) => {
    const { target, tolerance, days } = task
    const nextSession = sessionsOf()
    const first = nextSession()
    for (const settings of plan(lab)) lab.coat(settings, first)
    const bench = benchFigures(lab.study)
    for (;;) {
      const found = lab.data()
      const model = rehearsalModel(lab.study.factors, found.data.runs)
      const input = { found, model, level: undefined, others: [], bench }
      const recipe = value(recipeOfRuns({ ...input, goal: { target, tolerance, asked: 0.9 } })).recipe
      const record = value(
        confirmationOfRecipe({
          ...input,
          goal: { target, tolerance },
          settings: recipe.settings,
          runsByDay: days,
        }),
      )
      const result = confirm(lab, task, nextSession, record)
      if (result === null) return null
      if (result.passed) return { settings: recipe.settings, wafers: lab.count() }
    }
  }

/** What wafers are held to where no fit says more: tolerance and evenness on each. */
function tolerancesAlone(
  lab: Lab,
  { target, tolerance, days }: Task,
  settings: Settings,
): ConfirmationRecord {
  return {
    settings,
    model: 'log(thickness) ~ 1',
    response: 'thickness',
    dataHash: '',
    scope: 'otherSession',
    target,
    tolerance,
    uniformityLimit: lab.study.uniformityLimit,
    uniformityFormula: lab.study.uniformityFormula,
    chance: { thickness: 0, evenness: null, both: 0 },
    level: 0.95,
    runsByDay: days,
    estimate: target,
    errors: { common: 0, day: 0.005 ** 2, run: 0.004 ** 2, df: 3 },
    single: [0, 1e9],
    simultaneous: [0, 1e9],
    speed: null,
  }
}

/** The speed for the target by the ratio of thicknesses, as the coater can be set. */
function corrected(
  lab: Lab,
  settings: Settings,
  thickness: number,
  target: number,
  exponent: number,
): Settings {
  const speed = lab.study.factors.find(({ role }) => role === 'speed')
  if (!speed) throw new Error('No speed to correct.')
  const exact = Number(settings.speed) * (thickness / target) ** (1 / exponent)
  const inside = Math.min(speed.high as number, Math.max(speed.low as number, exact))
  return { ...settings, speed: roundToStep(speed, inside) }
}

/** Confirms, and where it fails corrects the speed by the ratio of what was measured, until the wafers are used up. */
function confirmAndCorrect(
  lab: Lab,
  task: Task,
  nextSession: () => string,
  from: Settings,
  exponent: number,
): Confirmed {
  let settings = from
  for (;;) {
    const result = confirm(lab, task, nextSession, tolerancesAlone(lab, task, settings))
    if (result === null) return null
    if (result.passed) return { settings, wafers: lab.count() }
    settings = corrected(lab, settings, mean(result.wafers.map((wafer) => wafer.mean)), task.target, exponent)
  }
}

/** By hand: coat one, correct the speed by the ratio of thicknesses to the power 1/b, again until it is in tolerance. */
export const byRatio =
  ({ start, exponent = 0.5 }: { start: Settings; exponent?: number }): Way =>
  (lab, task) => {
    const nextSession = sessionsOf()
    const first = nextSession()
    let settings = start
    for (;;) {
      if (lab.count() >= task.budget) return null
      const wafer = lab.coat(settings, first)
      const off = Math.abs(wafer.mean - task.target)
      if (off <= task.tolerance) break
      settings = corrected(lab, settings, wafer.mean, task.target, exponent)
    }
    return confirmAndCorrect(lab, task, nextSession, settings, exponent)
  }

/**
 * A full grid on one day: at each combination of the other factors the speed for the target between its neighbours, of
 * these the most even; where it fails, the speed is corrected by the ratio with the grid’s own exponent.
 */
export const byGrid =
  ({ grid }: { grid: readonly Settings[] }): Way =>
  (lab, task) => {
    const nextSession = sessionsOf()
    const first = nextSession()
    const columns = new Map<string, Wafer[]>()
    for (const settings of grid) {
      const wafer = lab.coat(settings, first)
      const key = JSON.stringify({ ...settings, speed: 0 })
      columns.set(key, [...(columns.get(key) ?? []), wafer])
    }
    const found = [...columns.values()].flatMap((column) => between(lab, column, task.target) ?? [])
    const best = found.reduce<(typeof found)[number] | null>(
      (a, b) => (a === null || b.uneven < a.uneven ? b : a),
      null,
    )
    return best && confirmAndCorrect(lab, task, nextSession, best.settings, best.exponent)
  }

/** Where wafers that differ in speed alone pass the target, on log scales; null where they do not. */
function between(lab: Lab, column: readonly Wafer[], target: number) {
  const speedOf = ({ run }: Wafer) => Number(run.settings.speed)
  const sorted = [...column].sort((a, b) => speedOf(a) - speedOf(b))
  for (const [i, high] of sorted.entries()) {
    const low = sorted[i - 1]
    if (!low || (low.mean - target) * (high.mean - target) > 0 || low.mean <= high.mean) continue
    const exponent = Math.log(low.mean / high.mean) / Math.log(speedOf(high) / speedOf(low))
    const settings = corrected(lab, low.run.settings, low.mean, target, exponent)
    const share = (Number(settings.speed) - speedOf(low)) / (speedOf(high) - speedOf(low))
    return { settings, exponent, uneven: low.uneven + share * (high.uneven - low.uneven) }
  }
  return null
}

/** The runs of a design of the program in their order, its factors changed where asked; drawn once. */
export const planOf = (
  design: Partial<DesignSettings> & Pick<DesignSettings, 'kind'>,
  change: Partial<Factor> = {},
) => {
  let drawn: Settings[] | null = null
  return ({ study }: Lab): Settings[] => {
    drawn ??= value(
      makePlan({
        factors: study.factors.map((factor) => ({ ...factor, ...change })),
        design: { replicates: 1, centre: 0, blocks: 1, seed: 1, sigma: null, power: 0.8, ...design },
        bench: benchFigures(study),
      }),
    ).runs.map(({ settings }) => settings)
    return drawn
  }
}
