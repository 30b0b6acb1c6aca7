import { plainNumber } from '../charts/format.ts'
import type { StepHeight } from '../contract/results/trace.ts'
import type { Problem } from '../problem.ts'

/** More of the points left out than this, and it is doubtful whether the regions are level; chosen by us. */
const manyLeftOut = 0.1
const fewEffective = 10

/**
 * What should be known of a step height before it is believed.
 *
 * @param bowed whether a bow stands out of the noise, and was left in
 */
export function stepWarnings(found: Omit<StepHeight, 'warnings'>, bowed: boolean): Problem[] {
  const { kind, points, regions } = found
  const warnings: Problem[] = []
  const warn = (code: string, message: string) => warnings.push({ code, message })
  const nm = (value: number) => `${plainNumber(value, 4)} nm`

  if (kind === 'edge')
    warn(
      'singleEdge',
      'This is a single edge. ISO 5436-1, type A1, covers grooves and ridges only; two parallel lines were drawn ' +
        'on both sides, and their distance is taken at the middle of the transition.',
    )
  if (found.bow !== null)
    warn(
      'bowTakenOut',
      'A parabola common to both levels was taken out. ISO 5436-1, type A1, has straight lines there.',
    )
  if (bowed)
    warn(
      'bowed',
      `The trace is bowed, which straight lines do not take out: with a common parabola the step would be ` +
        `${nm(found.stepWithBow ?? found.step)}. The difference is part of the uncertainty.`,
    )
  const share = points.leftOut / (points.leftOut + points.used)
  if (share > manyLeftOut)
    warn(
      'manyLeftOut',
      `${points.leftOut} of ${points.leftOut + points.used} points were left out as spikes or debris. Look whether ` +
        'the three parts are level.',
    )
  if (points.effective < fewEffective && points.used >= fewEffective)
    warn(
      'correlated',
      `Neighbouring points go up and down together: the ${points.used} points are worth about ` +
        `${Math.round(points.effective)} independent ones.`,
    )
  if (kind !== 'edge' && shortOutside(regions, found.width))
    warn(
      'shortOutside',
      'The trace ends before a full width beyond an edge, where type A1 ends its outer parts; they are shorter.',
    )
  return warnings
}

/** Whether an outer part reaches less than nine tenths of its two thirds of the width. */
function shortOutside({ left, right }: StepHeight['regions'], width: number): boolean {
  return [left, right].some(([from, to]) => to - from < 0.9 * ((2 * width) / 3))
}
