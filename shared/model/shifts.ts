import type { Comparison } from '../contract/results/compare.ts'
import type { Settings } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { tQuantile, tTwoSided, tUpper } from './distributions.ts'
import type { Paired } from './double-double.ts'
import type { Fitted } from './fitted.ts'
import type { Frame } from './frame.ts'
import { type Nested, workingPoint } from './groups.ts'
import { holm } from './holm.ts'
import { type Reached, whereReached } from './inverse-prediction.ts'
import { combination } from './least-squares.ts'
import { rowAt } from './predict.ts'
import { ratioOf, ratioScore } from './ratio.ts'
import { toModel } from './response.ts'
import { columnNamed, type Table } from './table.ts'
import { testedRange } from './target-setting.ts'

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
  sessionColumn?: string
  at?: Settings
  level: number
}

type Shifts = Pick<Comparison, 'reference' | 'fittedCurves' | 'shifts'> & { problems: Problem[] }

/**
 * The shift of each group against the first, at the setting where the first reaches the target, and the speed at
 * which each reaches it, on separate curves where the runs carry them and on parallel ones otherwise.
 */
export function shiftsOf(nested: Nested, question: ShiftQuestion): Shifts {
  const { table, by, groups, target, margin, level } = question
  const { separate, parallel } = nested
  const fitted = separate && separate.solution.factorization.dropped.length === 0 ? separate : parallel
  const [reference = '', ...others] = groups
  const at: Settings = { ...workingPoint(fitted.frame), ...question.at }
  const speed = speedColumn(fitted, by, question.speed)
  const problems: Problem[] = []
  const settings = (group: string, x: number | null): Settings => ({
    ...at,
    [by]: group,
    ...(speed !== null && x !== null ? { [speed]: x } : {}),
  })
  const row = (group: string, x: number | null): Paired | null => {
    const answer = rowAt(fitted, settings(group, x))
    return answer.ok ? answer.value : null
  }
  const start = row(reference, null)
  const eta =
    target !== null
      ? toModel(fitted.frame.scale, target)
      : start
        ? combination(fitted.solution, start).estimate
        : Number.NaN
  const reached = (group: string) => speedFor(fitted, speed, eta, level, (x) => row(group, x))
  const here = reached(reference)
  if (speed !== null && target !== null && !here)
    problems.push({
      code: 'targetNotReached',
      message: `The curve of ${reference} does not reach ${target} near the tested settings: shifts are given at the working point.`,
    })
  const shifts = others.flatMap((group) => {
    const [above, below] = [row(group, here?.value ?? null), row(reference, here?.value ?? null)]
    const ratio = above && below && ratioOf(fitted, above, below, level)
    const narrow = above && below && ratioOf(fitted, above, below, 1 - 2 * equivalenceSize)
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
    const score = (ratio: number) => ratioScore(fitted, above, below, ratio)
    const different = score(1)
    const [low, high] = margin === null ? [null, null] : [score(1 - margin), score(1 + margin)]
    const { df } = fitted.solution
    const { judged, problem } = judgement(fitted, table, question, group)
    if (margin !== null && problem) problems.push(problem)
    return [
      {
        group,
        ...ratio,
        ...speeds(target === null ? null : reached(group)),
        equivalent: judged ? inMargin : null,
        pDifferent: different === null ? null : tTwoSided(different, df),
        pEquivalent:
          !judged || low === null || high === null ? null : Math.max(tUpper(low, df), tUpper(-high, df)),
      },
    ]
  })
  return {
    reference: { group: reference, ...speeds(target === null ? null : here) },
    fittedCurves: fitted === separate ? 'separate' : 'parallel',
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

function speeds(reached: Reached | null) {
  return {
    speedFor: reached?.value ?? null,
    speedLower: reached?.lower ?? null,
    speedUpper: reached?.upper ?? null,
  }
}

/** The numeric column that corrects a shift or a thickness, or null where none can be told. */
export function speedColumn({ frame }: { frame: Frame }, by: string | null, given?: string): string | null {
  const numeric = frame.columns
    .map(({ name }) => name)
    .filter((name) => name !== by && !(name in frame.levels))
  const wanted = given === undefined ? ['speed', 'rpm'] : [given]
  const found = numeric.find((name) => wanted.includes(name))
  return found ?? (given === undefined && numeric.length === 1 ? (numeric[0] as string) : null)
}

/**
 * Where the fit reaches a level of the model's response along a column, with the interval of settings that the data do
 * not contradict; null where it does not, or the fit has no error.
 */
function speedFor(
  fitted: Fitted,
  speed: string | null,
  level: number,
  confidence: number,
  row: (x: number) => Paired | null,
): Reached | null {
  const { solution, variance, frame } = fitted
  const column = frame.columns.find(({ name }) => name === speed)
  if (column === undefined || variance === null || !Number.isFinite(level)) return null
  return whereReached(
    (x) => {
      const found = row(x)
      return found && combination(solution, found)
    },
    {
      level,
      ...testedRange(fitted, column),
      reach: tQuantile((1 + confidence) / 2, solution.df) * Math.sqrt(variance),
    },
  )
}

/** Whether a group can be judged equal to the first, and what its reader should know of that. */
type Judgement = { judged: boolean; problem: Problem | null }

/**
 * Whether the group can be judged equal to the first: a difference of days must not count as one of groups. With one
 * session there is none; with several the model has to hold them apart, and the two have to share a session or be joined
 * by sessions that they share with others, such as reference wafers of one lot in each. A run of no named session may be
 * of any day.
 */
function judgement(
  { frame }: Fitted,
  table: Table,
  { by, groups, sessionColumn = 'session' }: ShiftQuestion,
  group: string,
): Judgement {
  const sessions = columnNamed(table, sessionColumn)?.values
  const names = columnNamed(table, by)?.values
  if (!sessions || !names) return { judged: true, problem: null }
  const sessionsOf = new Map<string, Set<number | string | null>>()
  for (const row of frame.rows) {
    const own = sessionsOf.get(String(names[row])) ?? new Set()
    sessionsOf.set(String(names[row]), own.add(sessions[row] ?? null))
  }
  const of = (name: string | undefined) => sessionsOf.get(name ?? '') ?? new Set()
  const [first, second] = [of(groups[0]), of(group)]
  const all = new Set([...first, ...second])
  const pair = `${group} and ${groups[0]}`
  if (all.size === 1 && !all.has(null)) return { judged: true, problem: null }
  const shared = [...second].some((session) => first.has(session))
  const between = shared ? [] : joining(sessionsOf, groups[0] ?? '', group)
  if (all.has(null) || between === null)
    return {
      judged: false,
      problem: {
        code: 'noCommonSession',
        message: `${pair} are not known to have been coated in one session, nor beside wafers of one ${by}: a difference of days would count as one of ${by}, so equivalence is not judged.`,
      },
    }
  if (!(sessionColumn in frame.levels))
    return {
      judged: false,
      problem: {
        code: 'sessionsMixed',
        message: `${pair} come from several sessions that the model does not hold apart: a difference of days would count as one of ${by}, so equivalence is not judged. Add + ${sessionColumn} to the model.`,
      },
    }
  if (between.length === 0) return { judged: true, problem: null }
  return {
    judged: true,
    problem: {
      code: 'throughOthers',
      message: `${pair} were not coated in one session: they are compared through the runs of ${between.join(', ')}, whose scatter is in the interval.`,
    },
  }
}

/** The groups that join two by named sessions that each shares with the next; null where none do. */
function joining(
  sessionsOf: ReadonlyMap<string, ReadonlySet<number | string | null>>,
  from: string,
  to: string,
): string[] | null {
  const paths: string[][] = [[from]]
  const seen = new Set([from])
  for (const path of paths) {
    const here = sessionsOf.get(path.at(-1) as string)
    for (const [name, sessions] of sessionsOf) {
      if (seen.has(name) || ![...sessions].some((session) => session !== null && here?.has(session))) continue
      if (name === to) return path.slice(1)
      seen.add(name)
      paths.push([...path, name])
    }
  }
  return null
}
