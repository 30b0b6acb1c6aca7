import type { Database } from 'better-sqlite3'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { good } from '../../../shared/problem.ts'
import { type DemoRun, demoScenario } from '../../../shared/process/demo-scenario.ts'
import { filmOfRecipe } from '../compute/kept-recipe.ts'
import { addEvent } from '../store/events.ts'
import type { Store } from '../store/open.ts'
import { addReading } from '../store/readings.ts'
import { addRecipe } from '../store/recipes.ts'
import { addRun, type NewRun } from '../store/runs.ts'
import { emptySession, keepSession } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { addStage, addStudy, keepFactor, studyOf } from '../store/studies.ts'
import { keepTool, type ToolTable, toolsOf } from '../store/tools.ts'
import type { Handlers } from './handler.ts'
import { recipeAsMade } from './recipes.ts'
import { overDaysInput } from './study-fit.ts'

type Scenario = ReturnType<typeof demoScenario>

export const demo: Handlers<'studies.demo'> = {
  'studies.demo': ({ seed }, store) => {
    const { db } = store
    const scenario = demoScenario(seed)
    const studyId = addStudy(
      db,
      {
        ...scenario.study,
        coaterId: sameTool(db, 'coater', scenario.coater),
        hotPlateId: sameTool(db, 'hotPlate', scenario.hotPlate),
        gaugeId: sameTool(db, 'gauge', scenario.gauge),
      },
      { simulated: true, practice: null },
    )
    scenario.factors.forEach((factor, i) => {
      keepFactor(db, studyId, factor, i + 1)
    })
    let runOrder = 0
    for (const { title, runs } of scenario.stages) {
      const stageId = addStage(db, studyId, { kind: 'grid', title, design: null })
      for (const run of runs) {
        runOrder += 1
        addMeasured(db, scenario, run, { studyId, stageId, runOrder })
      }
    }
    addMonitorRuns(store, scenario, { studyId, runOrder })
    describeStep(db, { label: 'Made the demo study, of an invented film', studyId })
    return good({ studyId })
  },
}

type Place = Pick<NewRun, 'studyId' | 'stageId' | 'runOrder' | 'recipeId'>

/** Adds a run of the scenario with its readings. */
function addMeasured(db: Database, { study }: Scenario, { readings, ...run }: DemoRun, place: Place) {
  const runId = addRun(db, { ...run, ...place, standardOrder: null, block: 1, state: 'measured' })
  for (const { site, xMm, yMm, valueNm } of readings)
    addReading(db, {
      ...{ runId, quantity: thickness, site, xMm, yMm, repeat: 1 },
      ...{ takenAfter: study.readAfter, opticalIndex: study.readIndex },
      ...{ text: String(valueNm), unit: 'nm', value: valueNm, supersedes: null },
    })
}

/** Keeps the recipe of the scenario by the fit of its sweep, with the runs that watch it and what happened between. */
function addMonitorRuns(store: Store, scenario: Scenario, at: { studyId: string; runOrder: number }): void {
  const { db } = store
  const { studyId } = at
  const { model, settings, lot, decision, runs, events } = scenario.monitor
  const study = studyOf(db, studyId)
  const chosen = { ...settings, lot }
  const input = overDaysInput(store, { studyId, response: thickness, model, level: undefined })
  const film = input.ok ? filmOfRecipe({ ...input.value, settings: chosen }) : input
  if (!study || !film.ok) throw new Error('The demo study gives no fit for its own recipe.')
  const recipeId = addRecipe(db, {
    ...recipeAsMade(study, chosen, film.value),
    ...decision,
    version: 1,
    supersedes: null,
    targetNm: study.targetNm ?? 0,
    toleranceNm: study.toleranceNm ?? 0,
    film: { ...film.value.film, chance: null },
    model,
  })
  const stageId = addStage(db, studyId, { kind: 'monitor', title: 'Monitor runs', design: null })
  runs.forEach(({ day, ...run }, i) => {
    keepSession(db, studyId, { ...emptySession(run.session), day })
    addMeasured(db, scenario, run, { studyId, stageId, runOrder: at.runOrder + i + 1, recipeId })
  })
  for (const { day, kind, text } of events)
    addEvent(db, { studyId, kind, at: new Date(`${day}T08:00`).toISOString(), text })
}

/** The tool that an earlier demo study left, or a new one. */
function sameTool(db: Database, table: ToolTable, tool: { name: string }): string {
  const found = toolsOf(db, table).find((own) =>
    Object.entries(tool).every(([name, value]) => own[name as keyof typeof own] === value),
  )
  return found?.id ?? keepTool(db, table, tool)
}
