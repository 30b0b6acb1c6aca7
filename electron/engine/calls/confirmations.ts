import { isDeepStrictEqual } from 'node:util'
import type { Run, Settings, Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { meanOf, nothingRead } from '../../../shared/film/run-summary.ts'
import { parseFormula } from '../../../shared/model/formula.ts'
import { responseScale } from '../../../shared/model/response.ts'
import { judgeConfirmation, type RunOfSet } from '../../../shared/next/judge-confirmation.ts'
import { good } from '../../../shared/problem.ts'
import { addConfirmation, confirmationsOf } from '../store/confirmations.ts'
import type { Store } from '../store/open.ts'
import { recipesOf } from '../store/recipes.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage } from '../store/studies.ts'
import { findStudy, type Handlers } from './handler.ts'
import { freeSession, lastPlaces } from './plans.ts'
import { addPredictedRun, sameData, settingsOfRun } from './predicted-run.ts'
import { overDaysInput } from './study-fit.ts'

export const confirmations: Handlers<'next.planConfirmation' | 'next.confirmations'> = {
  'next.planConfirmation': {
    computation: 'confirmation',
    ask({ target, tolerance, settings, days, wafersADay, dataHash, ...question }, store) {
      const same = sameData(store, question, dataHash)
      if (!same.ok) return same
      const input = overDaysInput(store, question)
      if (!input.ok) return input
      const runsByDay = Array.from({ length: days }, () => wafersADay)
      return good({ ...input.value, goal: { target, tolerance }, settings, runsByDay })
    },
    finish(record, { dataHash, ...question }, store) {
      const found = sameData(store, question, dataHash)
      if (!found.ok) return found
      const { study } = found.value
      const { runsByDay, settings, scope, estimate, single, chance, errors } = record
      const days = runsByDay.length
      const stageId = addStage(store.db, study.id, {
        kind: 'confirmation',
        title: `Confirmation of a recipe on ${days} ${days === 1 ? 'day' : 'days'}`,
        design: null,
      })
      const before = runsOf(store.db, study.id)
      const last = lastPlaces(before)
      const [lower, upper] = single
      const recipeId = recipeAt(store, study, settings)
      const expected = { settings, scope, estimate, lower, upper, chance: chance.thickness, errors }
      const runs = runsByDay.flatMap((wafers, day) =>
        Array.from({ length: wafers }, () =>
          addPredictedRun(store, found.value, question, {
            stageId,
            kind: 'confirmation',
            recipeId,
            // Each day is a session, a block and a visit to the plate of its own.
            session: freeSession(before, day),
            block: last.block + day + 1,
            plateVisit: last.plateVisit + day + 1,
            expected,
          }),
        ),
      )
      const id = addConfirmation(store.db, { studyId: study.id, stageId, ...record })
      describeStep(store.db, { label: `Planned a confirmation: ${runs.length} runs`, studyId: study.id })
      return good({ id, stageId, runIds: runs.map((run) => run.id) })
    },
  },

  'next.confirmations': ({ studyId }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    return good(judgedConfirmations(store, found.value))
  },
}

/** The confirmations of a study, newest first, each with what has come of it. */
export function judgedConfirmations({ db }: Store, study: Study): Result<'next.confirmations'> {
  const runs = runsOf(db, study.id)
  const summaries = summariesOfStudy(db, study, runs)
  return confirmationsOf(db, study.id).flatMap(({ studyId: _, ...record }) => {
    const formula = parseFormula(record.model)
    if (!formula.ok || !formula.value.response) return []
    const own = runs.filter(({ stageId }) => stageId === record.stageId)
    const judgement = judgeConfirmation({
      record,
      scale: responseScale(formula.value.response),
      speedStep: study.coater?.speedStep ?? null,
      runs: own.map((run) => {
        const summary = summaries.get(run.id) ?? nothingRead
        const evenness = summary.film?.nonUniformity[record.uniformityFormula] ?? null
        return runOfSet(run, meanOf(summary, record.response), evenness)
      }),
    })
    return [{ ...record, judgement }]
  })
}

/** Left out where it failed, was dropped, or does not count; else measured or still to be. */
function runOfSet(
  { code, session, state, excluded }: Run,
  measured: number | null,
  evenness: number | null,
): RunOfSet {
  const left = excluded !== null || state === 'dropped' || state === 'failed'
  const done = state === 'measured' && measured !== null
  return {
    code,
    session,
    state: left ? 'left out' : done ? 'measured' : 'waiting',
    measured: done && !left ? measured : null,
    evenness: done ? evenness : null,
  }
}

/** The kept recipe in use with these settings, which wafers coated at them confirm; null where none is kept. */
function recipeAt({ db }: Store, study: Study, chosen: Settings): string | null {
  const { settings, lot } = settingsOfRun(study, chosen)
  const kept = recipesOf(db, study.id).find(
    (recipe) =>
      recipe.supersededBy === null && recipe.lot === lot && isDeepStrictEqual(recipe.settings, settings),
  )
  return kept?.id ?? null
}
