import { good } from '../../../shared/problem.ts'
import { benchFigures } from '../../../shared/process/budget.ts'
import { findStudy, type Handlers } from './handler.ts'

export const rehearse: Handlers<'plans.rehearse'> = {
  'plans.rehearse': {
    computation: 'rehearsal',
    newestOnly: true,
    ask({ studyId, factors, design, targetNm, toleranceNm, model, times, seed, film }, store) {
      const found = findStudy(store, studyId)
      if (!found.ok) return found
      const study = found.value
      return good({
        plan: { factors, design, bench: benchFigures(study) },
        lots: study.lots,
        study,
        factors,
        targetNm,
        toleranceNm,
        times,
        seed,
        ...(model === undefined ? {} : { model }),
        ...(film === undefined ? {} : { film: given(film) }),
      })
    },
    finish: good,
  },
}

/** Without the fields that are undefined. */
export const given = <T extends object>(fields: T) =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>
  }
