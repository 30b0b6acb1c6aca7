import type { Factor, Settings } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { runCostAfter } from '../../../shared/next/cost.ts'
import type { Searchable } from '../../../shared/next/predictor.ts'
import { type Aim, type RecommendOptions, recommend } from '../../../shared/next/recommend.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'
import { type Tell, untold } from '../../../shared/progress.ts'
import { fitRunsOverDays, type OverDaysInput, type StudyFit } from './study-data.ts'

/** What to recommend: the goal, and what a run costs in this study. */
export type NextRunInput = OverDaysInput & {
  bench: BenchFigures
  goal: { target: number; tolerance: number; aims?: Aim[]; count?: number; seed?: number }
}

/** The runs to make next, from a fit of the study's data. */
export function nextRun(
  { bench, goal, ...input }: NextRunInput,
  tell: Tell = untold,
): Answer<Result<'next.recommend'>> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const answer = recommend({ ...searchOf(fitted.value, bench), ...goal, tell })
  return answer.ok ? good({ ...answer.value, dataHash: fitted.value.dataHash }) : answer
}

/** The fit, where to look, what was tested, and what a run costs after the last. */
export function searchOf(
  fitted: StudyFit<Searchable>,
  bench: BenchFigures,
): Pick<RecommendOptions, 'model' | 'region' | 'tested' | 'costOf' | 'thicknessUnit'> {
  const { study, data, model } = fitted
  const last = data.runs.at(-1)?.settings
  return {
    model,
    region: regionOf(fitted),
    thicknessUnit: study.thicknessUnit,
    tested: model.rows.map((row) => testedAt(fitted, row)),
    costOf: runCostAfter({ factors: study.factors, bench, ...(last === undefined ? {} : { last }) }),
  }
}

/** Columns of the model that are no factors are held at the last run's value: its lot, its session. */
function regionOf({ study, model, frame }: StudyFit<Searchable>): Factor[] {
  const last = model.rows.at(-1)
  const held = frame.columns
    .filter(({ name }) => !study.factors.some((factor) => factor.name === name))
    .map(
      ({ name, values }): Factor => ({
        name,
        role: name === 'lot' ? 'lot' : 'other',
        unit: '',
        kind: 'categorical',
        low: null,
        high: null,
        levels: 2,
        levelNames: [String(last === undefined ? '' : values[last])],
        step: null,
        scale: 'linear',
        hardToChange: false,
      }),
    )
  return [...study.factors, ...held]
}

/** Settings of a run of the fit, with the columns of the model that are no factors. */
function testedAt({ data, frame }: StudyFit<Searchable>, row: number): Settings {
  const columns = frame.columns.flatMap(({ name, values }) => {
    const value = values[row]
    return value == null ? [] : [[name, value] as const]
  })
  return { ...data.runs[row]?.settings, ...Object.fromEntries(columns) }
}
