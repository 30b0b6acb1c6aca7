import type { Database } from 'better-sqlite3'
import { good } from '../../../shared/problem.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { addReading } from '../store/readings.ts'
import { addRun } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage, addStudy, keepFactor } from '../store/studies.ts'
import { keepTool, type ToolTable, toolsOf } from '../store/tools.ts'
import { thickness } from './film.ts'
import type { Handlers } from './handler.ts'

export const demo: Handlers<'studies.demo'> = {
  'studies.demo': ({ seed }, { db }) => {
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
    const howRead = {
      repeat: 1,
      takenAfter: scenario.study.readAfter,
      opticalIndex: scenario.study.readIndex,
    }
    let runOrder = 0
    for (const { title, runs } of scenario.stages) {
      const stageId = addStage(db, studyId, { kind: 'grid', title, design: null })
      for (const { readings, ...run } of runs) {
        runOrder += 1
        const place = { studyId, stageId, runOrder, standardOrder: null, block: 1 }
        const runId = addRun(db, { ...run, ...place, state: 'measured' })
        for (const { site, xMm, yMm, valueNm } of readings) {
          const typed = { text: String(valueNm), unit: 'nm', value: valueNm }
          addReading(db, {
            runId,
            quantity: thickness,
            site,
            xMm,
            yMm,
            ...howRead,
            ...typed,
            supersedes: null,
          })
        }
      }
    }
    describeStep(db, { label: 'Made the demo study, of an invented film', studyId })
    return good({ studyId })
  },
}

/** The tool that an earlier demo study left, or a new one. */
function sameTool(db: Database, table: ToolTable, tool: { name: string }): string {
  const found = toolsOf(db, table).find((own) =>
    Object.entries(tool).every(([name, value]) => own[name as keyof typeof own] === value),
  )
  return found?.id ?? keepTool(db, table, tool)
}
