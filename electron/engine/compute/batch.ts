import type { Settings } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { findBatch } from '../../../shared/next/batch.ts'
import { plateIn, runCostAfter } from '../../../shared/next/cost.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'
import { type Tell, untold } from '../../../shared/progress.ts'
import { searchOf } from './next-run.ts'
import { fitRunsOverDays, type OverDaysInput } from './study-data.ts'

export type BatchInput = OverDaysInput & {
  bench: BenchFigures
  goal: {
    target: number
    tolerance: number
    aim: 'learn' | 'reach'
    count: number
    minutesLeft: number | null
  }
}

/** Runs to be made together, from a fit of the study's data. */
export function batchOfRuns(
  { bench, goal, ...input }: BatchInput,
  tell: Tell = untold,
): Answer<Result<'next.batch'>> {
  const fitted = fitRunsOverDays(input)
  if (!fitted.ok) return fitted
  const { study, data, dataHash } = fitted.value
  const { factors } = study
  const { costOf, ...search } = searchOf(fitted.value, bench)
  const plateOf = plateIn({ factors, bench })
  const answer = findBatch({
    ...search,
    ...goal,
    tell,
    costAfter: (last?: Settings) => (last === undefined ? costOf : runCostAfter({ factors, bench, last })),
    plateOf,
    plateNow: plateOf(data.runs.at(-1)?.settings ?? {}),
  })
  return answer.ok ? good({ ...answer.value, dataHash }) : answer
}
