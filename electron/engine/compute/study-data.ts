import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import { workingPoint } from '../../../shared/model/groups.ts'
import { columnNamed, type Table } from '../../../shared/model/table.ts'
import { type Answer, good, type Problem } from '../../../shared/problem.ts'

/** The measured runs of a study as data: one row a run. */
export type StudyTable = {
  table: Table
  runs: Run[]
  /** By row: why the run is left out of fits, or null. */
  excluded: (string | null)[]
  /** Names of the columns that are measured. */
  responses: string[]
}

/** The study's data as a model sees them: without excluded runs. */
export type StudyData = { study: Study; data: StudyTable; dataHash: string }

/** What to fit to the data of a study. */
export type FitInput = { found: StudyData; model: string; level: number | undefined }

/** A model fitted to the runs of a study. */
export type StudyFit = StudyData & { model: FittedModel }

/** Fits a model to the runs of the study that are not excluded. */
export function fitRuns({ found, model, level }: FitInput): Answer<StudyFit> {
  const { table, runs } = found.data
  const fitted = fitModel({ table, model, ...(level === undefined ? {} : { level }) })
  return fitted.ok
    ? good({ ...found, model: fitted.value })
    : { ok: false, problems: namingRuns(fitted.problems, runs) }
}

/** The range of a factor, widened to what was run. */
export function rangeOf({ study, data }: StudyData, name: string): { low: number; high: number } {
  const factor = study.factors.find((candidate) => candidate.name === name)
  const run = columnNamed(data.table, name)?.values ?? []
  const numbers = [factor?.low, factor?.high, ...run].filter((value) => typeof value === 'number')
  return { low: Math.min(...numbers), high: Math.max(...numbers) }
}

/** The settings asked for, filled up with the middle of what was run. */
export function pointOf({ model }: StudyFit, at: Settings): Settings {
  return { ...workingPoint(model.fitted.frame), ...at }
}

/** Problems that count rows of the table, naming the run instead. */
export function namingRuns(problems: readonly Problem[], runs: readonly Run[]): Problem[] {
  return problems.map((problem) => {
    // The header is row 1, so the first run is row 2.
    const run = problem.row === undefined ? undefined : runs[problem.row - 2]
    if (!run) return problem
    const { row: _, ...rest } = problem
    return { ...rest, message: problem.message.replace(/^Row \d+/, `Run ${run.code}`) }
  })
}
