import type { Factor, Settings } from '../contract/things.ts'
import { codeSettings } from './code.ts'
import type { OrderedRun } from './design-point.ts'
import { settingKey } from './visits.ts'

/**
 * Puts a reference wafer first and last into each session. With a hard factor it joins the visit beside it where that is
 * at its setting, and has a visit of its own otherwise; visits are then numbered anew in the order in which they are made.
 *
 * @param options.placed the new runs in order, each with its session
 * @param options.firstVisit number of the first visit
 * @param options.firstNumber standard order of the first reference wafer
 */
export function withReferences(options: {
  factors: readonly Factor[]
  placed: readonly OrderedRun[]
  reference: Settings
  firstVisit: number
  firstNumber: number
}): OrderedRun[] {
  const { factors, placed, reference, firstVisit } = options
  const hard = factors.filter((factor) => factor.hardToChange)
  const coded = codeSettings(factors, reference)
  let number = options.firstNumber
  let own = -1
  const beside = (run: OrderedRun): OrderedRun => {
    const wafer = { ...run, kind: 'reference' as const, settings: reference, coded, standardOrder: number++ }
    const joins = run.plateVisit === null || settingKey(hard, wafer) === settingKey(hard, run)
    return joins ? wafer : { ...wafer, plateVisit: own-- }
  }
  const withThem = placed.flatMap((run, i) => [
    ...(placed[i - 1]?.session === run.session && i > 0 ? [] : [beside(run)]),
    run,
    ...(placed[i + 1]?.session === run.session && i + 1 < placed.length ? [] : [beside(run)]),
  ])
  const visits = [...new Set(withThem.map((run) => run.plateVisit))]
  return withThem.map((run) => ({
    ...run,
    plateVisit: run.plateVisit === null ? null : firstVisit + visits.indexOf(run.plateVisit),
  }))
}
