import type { Comparison } from '../contract/results/compare.ts'
import type { Settings } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { correctedSpeeds, type SpeedQuestion, speedColumn } from './corrected-speed.ts'
import { tTwoSided, tUpper } from './distributions.ts'
import type { Paired } from './double-double.ts'
import { workingPoint } from './groups.ts'
import { holm } from './holm.ts'
import type { LinearFit } from './linear-fit.ts'
import { rowAt } from './predict.ts'
import { ratioOf, ratioScore } from './ratio.ts'
import { toModel } from './response.ts'
import { judgement, sessionColumn } from './same-session.ts'
import type { Table } from './table.ts'

/** Equivalence is two one-sided tests at this size (Schuirmann, J. Pharmacokin. Biopharm. 15, 1987). */
export const equivalenceSize = 0.05

/** What shifts are computed from. */
export type ShiftQuestion = {
  table: Table
  by: string
  /** In order of appearance; the first is the reference. */
  groups: string[]
  target: number | null
  margin: number | null
  speed?: string
  speedStep?: number | null
  at?: Settings
  level: number
}

type Shifts = Pick<Comparison, 'reference' | 'shifts' | 'at'> & { problems: Problem[] }

/**
 * The shift of each group against the first, at the setting where the first reaches the target, and the speed at
 * which each reaches it.
 */
export function shiftsOf(fit: LinearFit, question: ShiftQuestion): Shifts {
  const { by, groups, target, margin, level } = question
  const { frame } = fit.fitted
  const [reference = '', ...others] = groups
  const at: Settings = { ...workingPoint(frame), ...question.at }
  const speed = speedColumn(frame, by, question.speed)
  const row = (group: string, x: number | null): Paired | null => {
    const answer = rowAt(fit.fitted, {
      ...at,
      [by]: group,
      ...(speed !== null && x !== null ? { [speed]: x } : {}),
    })
    return answer.ok ? answer.value : null
  }
  const eta = target === null ? Number.NaN : toModel(frame.scale, target)
  const asked: SpeedQuestion = { fit, speed, eta, level, step: question.speedStep ?? null, row }
  const { here, of } = correctedSpeeds(asked, reference)
  const problems: Problem[] = []
  if (speed !== null && target !== null && here === null)
    problems.push({
      code: 'targetNotReached',
      message: `The curve of ${reference} does not reach ${target} near the tested settings: shifts are given at the working point.`,
    })
  const shifts = others.flatMap((group) => {
    const [above, below] = [row(group, here), row(reference, here)]
    const ratio = above && below && ratioOf(fit, above, below, level)
    const narrow = above && below && ratioOf(fit, above, below, 1 - 2 * equivalenceSize)
    if (!ratio || !narrow) {
      problems.push({
        code: 'noShift',
        message: `The runs of ${group} cannot be set apart from the other settings: its shift is not known.`,
      })
      return []
    }
    const inMargin =
      margin === null
        ? null
        : narrow.lower !== null &&
          narrow.upper !== null &&
          narrow.lower >= 1 - margin &&
          narrow.upper <= 1 + margin
    const score = (ratio: number) => ratioScore(fit, above, below, ratio)
    const different = score(1)
    const [low, high] = margin === null ? [null, null] : [score(1 - margin), score(1 + margin)]
    const daysApart = sessionColumn in frame.levels || fit.strata.some(({ group }) => group === sessionColumn)
    const { judged, problem } = judgement({ frame, daysApart }, question, group)
    if (margin !== null && problem) problems.push(problem)
    return [
      {
        group,
        ...ratio,
        ...of(group),
        equivalent: judged ? inMargin : null,
        pDifferent: different === null ? null : tTwoSided(different.t, different.df),
        pEquivalent:
          !judged || low === null || high === null
            ? null
            : Math.max(tUpper(low.t, low.df), tUpper(-high.t, high.df)),
      },
    ]
  })
  return {
    reference: { group: reference, ...of(reference) },
    at: speed !== null && here !== null ? { ...at, [speed]: here } : at,
    shifts: heldTogether(shifts),
    problems,
  }
}

/** Of several groups, chances and verdicts that allow for the number of them: equal only where all of Holm's steps say so. */
function heldTogether(shifts: Comparison['shifts']): Comparison['shifts'] {
  const adjusted = (of: (shift: Comparison['shifts'][number]) => number | null) => {
    const known = shifts.flatMap((shift, i) => (of(shift) === null ? [] : [{ i, p: of(shift) as number }]))
    const held = holm(known.map(({ p }) => p))
    return new Map(known.map(({ i }, k) => [i, held[k] as number]))
  }
  const different = adjusted(({ pDifferent }) => pDifferent)
  const equivalent = adjusted(({ pEquivalent }) => pEquivalent)
  return shifts.map((shift, i) => ({
    ...shift,
    pDifferent: different.get(i) ?? null,
    pEquivalent: equivalent.get(i) ?? null,
    equivalent: shift.equivalent && (equivalent.get(i) ?? 0) <= equivalenceSize,
  }))
}
