import type { CheckedArgs, Result } from '../../../shared/contract.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { lotCheckOrder } from '../../../shared/process/lot-check-order.ts'
import { referenceSettings } from '../../../shared/process/reference-settings.ts'
import { addLotDecision, lotDecisionsOf } from '../store/lot-decisions.ts'
import type { Store } from '../store/open.ts'
import { runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage, changeStudy } from '../store/studies.ts'
import { checkSettings } from './check-settings.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { lotStudies } from './lot-studies.ts'
import { addPlannedRun, freeSession } from './plans.ts'
import { overDaysInput } from './study-fit.ts'

type Names =
  | 'lots.history'
  | 'lots.compare'
  | 'lots.decisions'
  | 'lots.decide'
  | 'lots.check'
  | 'lots.addCheck'

export const lots: Handlers<Names> = {
  'lots.compare': { computation: 'comparison', ask: comparisonInput, finish: good },

  'lots.decisions': ({ studyId }, { db }) => good(lotDecisionsOf(db, studyId)),

  'lots.decide': { computation: 'comparison', ask: comparisonInput, finish: keepDecision },

  'lots.history': {
    computation: 'lotHistory',
    ask({ studyId, model }, store) {
      const study = findStudy(store, studyId)
      return study.ok ? good(lotStudies(store, study.value, model)) : study
    },
    finish: good,
  },

  'lots.check': {
    computation: 'lotCheck',
    ask({ margin, ...question }, store) {
      const input = overDaysInput(store, question)
      if (!input.ok) return input
      const { study } = input.value.found
      return good({ ...input.value, margin, settings: referenceSettings(study, study.factors) })
    },
    finish: good,
  },

  'lots.addCheck': ({ studyId, lot, against, each, settings }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const study = found.value
    const { db } = store
    if (lot === against)
      return refuse('sameLot', 'A lot is checked against another: name two lots.', { column: 'lot' })
    const problems = checkSettings(study.factors, settings)
    if (problems.length > 0) return { ok: false, problems }
    const factor = study.factors.find(({ role }) => role === 'lot')
    const unknown = [against, lot].find((name) => factor && !factor.levelNames.includes(name))
    if (factor && unknown !== undefined)
      return refuse('unknownLot', `${unknown} is no level of ${factor.name}: name it in the plan first.`, {
        column: 'lot',
      })
    const named = [against, lot].filter((name) => !study.lots.includes(name))
    if (named.length > 0) changeStudy(db, studyId, { lots: [...study.lots, ...named] })
    const title = `Check of lot ${lot} against ${against}`
    const stageId = addStage(db, studyId, { kind: 'lot check', title, design: null })
    const session = freeSession(runsOf(db, studyId))
    for (const which of lotCheckOrder(each)) {
      const own = which === 'new' ? lot : against
      addPlannedRun(store, {
        studyId,
        stageId,
        kind: 'by hand',
        settings: factor ? { ...settings, [factor.name]: own } : settings,
        lot: own,
        note: '',
        session,
      })
    }
    describeStep(db, { label: `Planned: ${title}, ${2 * each} runs`, studyId })
    return good({ stageId, runs: 2 * each, session })
  },
}

function comparisonInput(
  { by, groups, target, margin, ...question }: CheckedArgs<'lots.compare'>,
  store: Store,
) {
  const input = overDaysInput(store, question, [by])
  return input.ok ? good({ ...input.value, by, groups, target, margin }) : input
}

function keepDecision(
  compared: Result<'lots.compare'>,
  { studyId, lot, decision, who, why, dataHash, ...asked }: CheckedArgs<'lots.decide'>,
  store: Store,
): Answer<Result<'lots.decide'>> {
  if (compared.dataHash !== dataHash)
    return refuse(
      'dataChanged',
      'The data have changed since this comparison was shown. Look at it again before you decide.',
    )
  const shift = compared.shifts.find(({ group }) => group === lot)
  if (!shift)
    return refuse('unknownLot', `The comparison tells nothing of lot ${lot}: there is nothing to sign.`, {
      column: 'lot',
    })
  const { group: _, ...shown } = shift
  const { model, response, target, margin, level = 0.95 } = asked
  addLotDecision(store.db, {
    studyId,
    lot,
    against: compared.reference.group,
    decision,
    who,
    why,
    dataHash,
    numbers: { ...shown, model, response, target, margin, level },
  })
  describeStep(store.db, { label: `Decided on lot ${lot}: ${decision}`, studyId })
  return done
}
