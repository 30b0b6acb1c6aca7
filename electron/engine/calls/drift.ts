import type { ProcessEvent } from '../../../shared/contract/materials.ts'
import type { KeptRecipe } from '../../../shared/contract/recipes.ts'
import type { Study } from '../../../shared/contract/things.ts'
import { type MonitorWafer, monitorReadings } from '../../../shared/drift/monitor-readings.ts'
import type { RecipeDriftInput } from '../../../shared/drift/watch-recipe.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import { writeCsv } from '../files/write-csv.ts'
import { bottleAt } from '../store/bottles.ts'
import { driftChoiceOf, keepDriftChoice } from '../store/drift-choices.ts'
import { addEvent, processEventsOf } from '../store/events.ts'
import { now } from '../store/ids.ts'
import type { Store } from '../store/open.ts'
import { recipeOf } from '../store/recipes.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runsOf } from '../store/runs.ts'
import { sessionsOf } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { noRecipe } from './recipes.ts'
import { studyFileName } from './study-csv.ts'

type Names = 'drift.watch' | 'drift.choose' | 'drift.csv' | 'drift.note'

export const drift: Handlers<Names> = {
  'drift.watch': {
    computation: 'drift',
    newestOnly: true,
    ask: ({ recipeId }, store) => watchInput(store, recipeId),
    finish: good,
  },

  'drift.choose': ({ recipeId, choice }, store) => {
    const recipe = recipeOf(store.db, recipeId)
    if (!recipe) return noRecipe
    keepDriftChoice(store.db, recipeId, choice)
    const label = `Chose how ${recipe.name} is watched`
    describeStep(store.db, { label, studyId: recipe.studyId })
    return done
  },

  'drift.csv': ({ recipeId }, store) => {
    const found = monitored(store, recipeId)
    if (!found.ok) return found
    const { study, recipe, readings, events } = found.value
    const rows = readings.map(({ session, day, runs, thicknessNm, spread, openings }, i) => [
      ...[session, day, runs.join(' '), thicknessNm, spread === null ? null : 100 * spread, openings],
      events
        .filter(({ before }) => before === i)
        .map(({ kind, text }) => (text === '' ? kind : `${kind}: ${text}`))
        .join('; '),
      ...(study.simulated ? ['simulated'] : []),
    ])
    const headers = ['session', 'day', 'runs', 'thickness (nm)', 'spread (%)', 'openings', 'events before']
    return good({
      fileName: studyFileName(study, ` drift of ${recipe.name}.csv`),
      text: writeCsv(study.simulated ? [...headers, 'simulated'] : headers, rows),
    })
  },

  'drift.note': ({ studyId, kind, at, text }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    addEvent(store.db, { studyId, kind, at: at ?? now(), text: text ?? '' })
    describeStep(store.db, { label: `Noted: ${kind}`, studyId })
    return done
  },
}

/** What a computation needs to watch a recipe. */
export function watchInput(store: Store, recipeId: string): Answer<RecipeDriftInput> {
  const found = monitored(store, recipeId)
  if (!found.ok) return found
  const { study, recipe, readings, waiting, events } = found.value
  const speed = study.factors.find(({ role }) => role === 'speed')
  const set = speed && recipe.settings[speed.name]
  return good({
    ...{ readings, waiting, events },
    choice: driftChoiceOf(store.db, recipeId),
    targetNm: recipe.targetNm,
    speed: typeof set === 'number' ? set : null,
    exponent: recipe.exponent,
  })
}

type Monitored = {
  study: Study
  recipe: KeptRecipe
  waiting: { runId: string; code: string }[]
} & ReturnType<typeof monitorReadings>

/** The monitor runs of a recipe as readings in time, with the events between them. */
function monitored(store: Store, recipeId: string): Answer<Monitored> {
  const { db } = store
  const recipe = recipeOf(db, recipeId)
  if (!recipe) return noRecipe
  const found = findStudy(store, recipe.studyId)
  if (!found.ok) return found
  const study = found.value
  const sessions = new Map(sessionsOf(db, study.id).map((session) => [session.name, session]))
  const runs = runsOf(db, study.id).filter((run) => run.kind === 'monitor' && run.recipeId === recipeId)
  const summaries = summariesOfStudy(db, study, runs)
  const wafers = runs.flatMap((run): MonitorWafer[] => {
    const film =
      run.state === 'measured' && run.excluded === null ? (summaries.get(run.id)?.film ?? null) : null
    if (!film || film.mean === null || !(film.mean > 0)) return []
    const session = sessions.get(run.session ?? '')
    const spread = film.standardDeviation === null ? null : film.standardDeviation / film.mean
    return [
      {
        code: run.code,
        session: run.session,
        day: session?.day ?? '',
        coatedAt: run.coatedAt,
        mean: film.mean,
        spread,
        openings: session ? (bottleAt(db, study.id, session)?.openings ?? null) : null,
      },
    ]
  })
  const waiting = runs
    .filter(({ state, excluded }) => excluded === null && (state === 'planned' || state === 'coated'))
    .map(({ id, code }) => ({ runId: id, code }))
  const events: ProcessEvent[] = processEventsOf(db, study.id)
  return good({ study, recipe, waiting, ...monitorReadings(wafers, events) })
}
