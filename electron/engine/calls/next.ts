import type { Choice } from '../../../shared/contract/results/next.ts'
import { inScope } from '../../../shared/next/scope.ts'
import { good } from '../../../shared/problem.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import { describeStep } from '../store/step.ts'
import { addStage } from '../store/studies.ts'
import type { Handlers } from './handler.ts'
import { addPredictedRun, type Expected, sameData } from './predicted-run.ts'
import { overDaysInput } from './study-fit.ts'

type Names = 'next.recommend' | 'next.recipe' | 'next.take'

export const next: Handlers<Names> = {
  'next.recommend': {
    computation: 'nextRun',
    newestOnly: true,
    ask({ target, tolerance, aims, count, seed, ...question }, store) {
      const input = overDaysInput(store, question)
      if (!input.ok) return input
      const goal = {
        target,
        tolerance,
        ...(aims === undefined ? {} : { aims }),
        ...(count === undefined ? {} : { count }),
        ...(seed === undefined ? {} : { seed }),
      }
      return good({ ...input.value, bench: benchFigures(input.value.found.study), goal })
    },
    finish: good,
  },

  'next.recipe': {
    computation: 'recipe',
    newestOnly: true,
    ask({ target, tolerance, asked, ...question }, store) {
      const input = overDaysInput(store, question)
      if (!input.ok) return input
      const bench = benchFigures(input.value.found.study)
      return good({ ...input.value, bench, goal: { target, tolerance, asked } })
    },
    finish: good,
  },

  'next.take': ({ choice, dataHash, ...question }, store) => {
    const found = sameData(store, question, dataHash)
    if (!found.ok) return found
    const { study } = found.value
    const stageId = addStage(store.db, study.id, { kind: 'next', title: titles[choice.aim], design: null })
    const run = addPredictedRun(store, found.value, question, {
      stageId,
      kind: 'next',
      expected: expectedOf(choice),
    })
    describeStep(store.db, { label: `Took ${run.code} as the next run`, studyId: study.id })
    return good({ runId: run.id, stageId })
  },
}

const titles = {
  reach: 'Next run, to reach the target',
  learn: 'Next run, to learn most',
  both: 'Next run, to reach the target and learn',
}

/** What a choice says of its run, in the scope that it is made for. */
function expectedOf(choice: Choice): Expected {
  const { settings, scope, estimate, errors } = choice
  const { interval, chance } = inScope(choice)
  return { settings, scope, estimate, lower: interval[0], upper: interval[1], chance, errors }
}
