import type { Choice } from '../../../shared/contract/results/next.ts'
import { plateIn } from '../../../shared/next/cost.ts'
import { inScope } from '../../../shared/next/scope.ts'
import { good } from '../../../shared/problem.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import { runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage } from '../store/studies.ts'
import type { Handlers } from './handler.ts'
import { lastPlaces, presentSession } from './plans.ts'
import { addPredictedRun, type Expected, sameData } from './predicted-run.ts'
import { overDaysInput } from './study-fit.ts'

type Names = 'next.batch' | 'next.chanceMap' | 'next.recommend' | 'next.recipe' | 'next.take'

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

  'next.chanceMap': {
    computation: 'chanceMap',
    newestOnly: true,
    ask({ target, tolerance, x, y, at, ...question }, store) {
      const input = overDaysInput(store, question)
      return input.ok ? good({ ...input.value, x, y, at, goal: { target, tolerance } }) : input
    },
    finish: good,
  },

  'next.batch': {
    computation: 'batch',
    newestOnly: true,
    ask({ target, tolerance, aim, count, minutesLeft, ...question }, store) {
      const input = overDaysInput(store, question)
      if (!input.ok) return input
      const bench = benchFigures(input.value.found.study)
      return good({ ...input.value, bench, goal: { target, tolerance, aim, count, minutesLeft } })
    },
    finish: good,
  },

  'next.take': ({ choices, dataHash, ...question }, store) => {
    const found = sameData(store, question, dataHash)
    if (!found.ok) return found
    const { study } = found.value
    const [first] = choices as [Choice, ...Choice[]]
    const together = choices.length > 1
    const title = together
      ? `${choices.length} runs together, ${aims[first.aim]}`
      : `Next run, ${aims[first.aim]}`
    const stageId = addStage(store.db, study.id, { kind: 'next', title, design: null })
    const plateOf = plateIn({ factors: study.factors, bench: benchFigures(study) })
    const before = runsOf(store.db, study.id)
    const { plateVisit } = lastPlaces(before)
    const session = presentSession(before, new Date())
    const plates = [...new Set(choices.map(({ settings }) => plateOf(settings)))]
    const runs = choices.map((choice) =>
      addPredictedRun(store, found.value, question, {
        stageId,
        kind: 'next',
        session,
        // Runs that are made together share the visits to the plate that they are grouped by.
        ...(together ? { plateVisit: plateVisit + 1 + plates.indexOf(plateOf(choice.settings)) } : {}),
        expected: expectedOf(choice),
      }),
    )
    const codes = runs.map(({ code }) => code).join(', ')
    const label = together ? `Took ${codes} as the next runs` : `Took ${codes} as the next run`
    describeStep(store.db, { label, studyId: study.id })
    return good({ runIds: runs.map((run) => run.id), stageId })
  },
}

const aims = { reach: 'to reach the target', learn: 'to learn most', both: 'to reach the target and learn' }

/** What a choice says of its run, in the scope that it is made for. */
function expectedOf(choice: Choice): Expected {
  const { settings, scope, estimate, errors } = choice
  const { interval, chance } = inScope(choice)
  return { settings, scope, estimate, lower: interval[0], upper: interval[1], chance, errors }
}
