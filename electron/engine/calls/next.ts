import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import { inScope } from '../../../shared/next/scope.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import { addPrediction } from '../store/predictions.ts'
import { describeStep } from '../store/step.ts'
import { addStage } from '../store/studies.ts'
import type { Handlers } from './handler.ts'
import { addPlannedRun } from './plans.ts'
import { dataFor, dayColumns, overDaysInput } from './study-fit.ts'

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
    const found = dataFor(store, question, dayColumns)
    if (!found.ok) return found
    const { study } = found.value
    if (found.value.dataHash !== dataHash)
      return refuse(
        'dataChanged',
        'The data have changed since this was recommended. Ask for the next run again.',
      )
    const stageId = addStage(store.db, study.id, { kind: 'next', title: titles[choice.aim], design: null })
    const { settings, lot } = settingsOfRun(study, choice.settings)
    const run = addPlannedRun(store, { studyId: study.id, stageId, kind: 'next', settings, lot, note: '' })
    const { interval, chance } = inScope(choice)
    const [lower, upper] = interval
    addPrediction(store.db, {
      studyId: study.id,
      runId: run.id,
      settings: choice.settings,
      model: question.model,
      response: question.response,
      dataHash,
      scope: choice.scope,
      sessions: sessionsOf(found.value.data.runs, choice.settings),
      estimate: choice.estimate,
      lower,
      upper,
      chance,
      errors: choice.errors,
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

/** The sessions for which a prediction holds: the one it was made for, else those of the runs that were fitted. */
function sessionsOf(runs: readonly Run[], settings: Settings): string[] {
  if (settings.session !== undefined) return [String(settings.session)]
  return [...new Set(runs.flatMap(({ session }) => (session === null ? [] : [session])))]
}

/** A choice as a run of the study: factors are its settings, the lot is its lot. */
function settingsOfRun(study: Study, chosen: Settings): { settings: Settings; lot: string | null } {
  const names = new Set(study.factors.map(({ name }) => name))
  const lotName = study.factors.find(({ role }) => role === 'lot')?.name ?? 'lot'
  const settings = Object.fromEntries(Object.entries(chosen).filter(([name]) => names.has(name)))
  const lot = chosen[lotName]
  return { settings, lot: lot === undefined ? (study.lots[0] ?? null) : String(lot) }
}
