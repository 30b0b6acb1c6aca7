import type { Run, Study } from '../../../shared/contract/things.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { actualSettings } from '../../../shared/process/actual-settings.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import type { Store } from '../store/open.ts'
import { addRun, changeRun, freeCodes, runsOf } from '../store/runs.ts'
import { plateVisitsOf } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { addStage } from '../store/studies.ts'
import { checkSettings } from './check-settings.ts'
import { findStudy, type Handlers } from './handler.ts'
import { lotOf } from './plans.ts'

export const replan: Handlers<'plans.replan' | 'plans.applyReplan'> = {
  'plans.replan': {
    computation: 'replan',
    newestOnly: true,
    ask({ studyId, left, bakeOnly, forbid = '', seed = 1 }, store) {
      const found = findStudy(store, studyId)
      if (!found.ok) return found
      const study = found.value
      if (study.factors.length === 0) return refuse('noPlan', 'This study has no plan yet. Make one on Plan.')
      const runs = runsOf(store.db, studyId).filter(({ kind }) => kind !== 'monitor')
      return good({
        factors: study.factors,
        design: study.stages.filter(({ design }) => design !== null).at(-1)?.design ?? null,
        done: doneRuns(store, study, runs),
        planned: runs.filter(ofPlan),
        lost: runs.filter(
          ({ state, excluded }) => state === 'dropped' || state === 'failed' || excluded !== null,
        ),
        left,
        bakeOnly,
        forbid,
        bench: benchFigures(study),
        seed,
      })
    },
    finish: good,
  },

  'plans.applyReplan': ({ studyId, runs, reason, session: named }, store) => {
    const { db } = store
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const study = found.value
    const problems = runs.flatMap(({ settings }) => checkSettings(study.factors, settings))
    if (problems.length > 0) return { ok: false, problems }
    const before = runsOf(db, studyId)
    const open = before.filter(ofPlan)
    for (const run of open) {
      const note = [run.note, `Replaced by the new plan: ${reason}`].filter(Boolean).join('\n')
      changeRun(db, run.id, { state: 'dropped', note })
    }
    const stageId = addStage(db, studyId, { kind: 'grid', title: 'Re-planned on the day', design: null })
    const codes = freeCodes(before, runs.length)
    const last = Math.max(0, ...before.map(({ runOrder }) => runOrder))
    // The new runs go on where the old ones would have: in the session and block of the first of these.
    const place = open[0] ?? before.at(-1)
    const block = place?.block ?? 1
    const session = named ?? place?.session ?? null
    runs.forEach(({ settings, plateVisit }, i) => {
      addRun(db, {
        studyId,
        stageId,
        code: codes[i] as string,
        standardOrder: null,
        runOrder: last + i + 1,
        block,
        plateVisit,
        session,
        kind: 'optimal',
        lot: lotOf(study, study.factors, settings),
        settings,
      })
    })
    describeStep(db, { label: `Planned the rest anew: ${runs.length} for ${open.length} runs`, studyId })
    return good({ stageId, dropped: open.length, runs: runs.length })
  },
}

/** Planned and to be replaced: not what watches a recipe or compares sessions, whatever becomes of the plan. */
const ofPlan = ({ state, kind }: Run) => state === 'planned' && kind !== 'monitor' && kind !== 'reference'

/** Runs that are or will be data, with the settings that they really had. */
function doneRuns({ db }: Store, study: Study, runs: readonly Run[]) {
  const visits = new Map(plateVisitsOf(db, study.id).map((visit) => [visit.number, visit]))
  return runs
    .filter(({ state, excluded }) => (state === 'coated' || state === 'measured') && excluded === null)
    .map(({ settings, actual, plateVisit }) => ({
      settings: actualSettings({ ...study, settings, actual, visit: visits.get(plateVisit ?? 0) ?? null })
        .settings,
      plateVisit,
    }))
}
