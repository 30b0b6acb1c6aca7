import { recipeOfRuns } from '../../../electron/engine/compute/recipe.ts'
import { counted } from '../../../shared/counted.ts'
import { usualChoice } from '../../../shared/drift/rules.ts'
import { watchRecipe } from '../../../shared/drift/watch-recipe.ts'
import { compareGroups } from '../../../shared/model/lots.ts'
import type { Answer } from '../../../shared/problem.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { demoModel } from '../model/demo-sweep.ts'
import { tableOf } from '../model/some-runs.ts'
import { inventedLab } from '../next/invented-lab.ts'

const value = <T>(answer: Answer<T>): T => {
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}
const meanOf = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length
const seedsOf = (times: number) => Array.from({ length: times }, (_, i) => i + 1)
const goal = { target: 1500, tolerance: 30 }

/**
 * The demo’s sweep of 18 wafers coated so many times, and the recipe that the program finds by it among all settings of
 * speed, time and bake: how often its interval holds a wafer of another day, and its film is truly in tolerance and even
 * enough; and the chance that it states beside the share of good wafers on a hundred other days. Every session begins with
 * so many dummies that the bowl has settled: what the first wafers after cleaning it have more is no scatter.
 */
export function recipesFound(times: number) {
  const studies = seedsOf(times).map((seed) => {
    const { stages, factors } = demoScenario(seed)
    const lab = inventedLab({ seed, film: {}, factors, uniformityLimit: 1, dummies: 10 })
    for (const { settings, plateVisit } of stages[0]?.runs ?? []) lab.coat(settings, 'Day 1', plateVisit ?? 1)
    const bench = benchFigures(lab.study)
    const found = { found: lab.data(), model: demoModel, level: undefined, others: [], bench }
    const { recipe } = value(recipeOfRuns({ ...found, goal: { ...goal, asked: 0.9 } }))
    const { prediction, settings, chance } = recipe
    const truth = lab.truth(settings)
    const wafer = lab.coat(settings, 'Another day').mean
    return {
      held: prediction[0] <= wafer && wafer <= prediction[1],
      right: Math.abs(truth.mean - goal.target) <= goal.tolerance && truth.uneven <= 1,
      off: truth.mean / goal.target - 1,
      stated: chance.both,
      good: lab.yieldAt(settings, goal, 100),
    }
  })
  return {
    held: counted(studies.map(({ held }) => held)),
    right: counted(studies.map(({ right }) => right)),
    /** Of the true means, as a share of the target: mean, and standard deviation about the target. */
    bias: meanOf(studies.map(({ off }) => off)),
    deviation: Math.sqrt(meanOf(studies.map(({ off }) => off ** 2))),
    stated: meanOf(studies.map(({ stated }) => stated)),
    good: meanOf(studies.map(({ good }) => good)),
  }
}

/** Lot B, 1.8 % thicker, beside lot A in the demo: how often the interval of the shift holds that, and B is called equal. */
export function lotsFound(times: number) {
  const studies = seedsOf(times).map((seed) => {
    const runs = demoScenario(seed).stages.flatMap(({ runs }) => runs)
    const table = tableOf({
      speed: runs.map(({ settings }) => settings.speed),
      time: runs.map(({ settings }) => settings.time),
      bake: runs.map(({ settings }) => settings.bake),
      lot: runs.map(({ lot }) => lot),
      session: runs.map(({ session }) => session),
      thickness: runs.map(({ readings }) => meanOf(readings.map(({ valueNm }) => valueNm))),
    })
    const model = `${demoModel} + session`
    const at = { time: 40, bake: 100, session: 'Day 2' }
    const { shifts } = value(compareGroups({ table, model, by: 'lot', target: 1500, margin: 0.01, at }))
    const [{ lower, upper, equivalent } = { lower: null, upper: null, equivalent: null }] = shifts
    return { held: (lower as number) <= 1.018 && 1.018 <= (upper as number), equal: equivalent === true }
  })
  return {
    held: counted(studies.map(({ held }) => held)),
    equal: counted(studies.map(({ equal }) => equal)),
  }
}

const holds = (found: { interval: readonly number[] } | null | undefined, truth: number) =>
  found != null && (found.interval[0] as number) <= truth && truth <= (found.interval[1] as number)

/**
 * The demo’s recipe watched by its 24 monitor wafers, with the limits, rules and trend that the program takes unless told
 * otherwise: how often the ageing of the bottle (+0.24 % a reading) is called a trend, how often its interval holds that,
 * and those of what the fresh bottle and the plate that was set right change; and how often a rule is broken before that
 * bottle.
 *
 * @param limitsTo the last reading that sets the limits, from 1
 */
export function driftsFound(times: number, limitsTo: number | null = null) {
  const { study } = demoScenario(1)
  const studies = seedsOf(times).map((seed) => {
    const { runs, events, settings } = demoScenario(seed).monitor
    const watched = value(
      watchRecipe({
        readings: runs.map(({ code, session, day, readings }) => ({
          session,
          day,
          runs: [code],
          thicknessNm: meanOf(readings.map(({ valueNm }) => valueNm)),
          spread: null,
          openings: null,
        })),
        waiting: [],
        events: events.map(({ day, kind, text }) => ({
          id: day,
          studyId: '',
          kind,
          text,
          at: day,
          before: runs.findIndex((run) => run.day >= day),
        })),
        targetNm: study.targetNm ?? 0,
        speed: settings.speed,
        exponent: { value: 0.53, standardError: 0.003, df: 12 },
        choice: { ...usualChoice, limitsFrom: { from: 1, to: limitsTo } },
      }),
    )
    const { trend, chart, changes } = watched.thickness
    if (trend === null) throw new Error('No trend.')
    const [lower, upper] = trend.interval
    return {
      trend: lower > 0,
      held: lower <= 0.0024 && 0.0024 <= upper,
      plate: holds(changes[1]?.beyondTrend, -0.0046),
      bottle: holds(changes[0]?.beyondTrend, 1.0008 / (1 + 0.0008 * 40) - 1),
      plateSeen: (changes[1]?.beyondTrend?.p ?? 1) < 0.05,
      alarm: chart.alarms.find(({ reading }) => reading < 14)?.reading ?? null,
    }
  })
  return {
    trend: counted(studies.map(({ trend }) => trend)),
    held: counted(studies.map(({ held }) => held)),
    plate: counted(studies.map(({ plate }) => plate)),
    plateSeen: counted(studies.map(({ plateSeen }) => plateSeen)),
    bottle: counted(studies.map(({ bottle }) => bottle)),
    alarms: counted(studies.map(({ alarm }) => alarm !== null)),
    first: studies.flatMap(({ alarm }) => alarm ?? []).sort((a, b) => a - b),
  }
}
