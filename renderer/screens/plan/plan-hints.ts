import type { Plan } from '../../../shared/contract/results/plan.ts'
import type { Study } from '../../../shared/contract/things.ts'
import type { PlanDraft } from './draft.ts'

export type PlanHint = 'hardToChange' | 'noCentre' | 'noRepeats' | 'noTolerance'

/** What the method has to say on a plan as it stands, the weightiest first. */
export function planHints(
  { factors, design }: PlanDraft,
  plan: Pick<Plan, 'evaluation'> | null,
  study: Pick<Study, 'targetNm' | 'toleranceNm'> | null,
): PlanHint[] {
  const numbers = factors.filter(({ kind }) => kind === 'continuous')
  const twoLevels =
    design.kind === 'fraction' || (design.kind === 'full' && numbers.every(({ levels }) => levels === 2))
  const hints: [PlanHint, boolean][] = [
    ['hardToChange', factors.some(({ hardToChange }) => hardToChange)],
    ['noCentre', numbers.length > 0 && twoLevels && design.centre === 0],
    ['noRepeats', plan !== null && plan.evaluation.pureErrorDf === 0],
    ['noTolerance', study !== null && study.targetNm !== null && study.toleranceNm === null],
  ]
  return hints.flatMap(([name, applies]) => (applies ? [name] : []))
}
