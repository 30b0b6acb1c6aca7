import type { Comparison } from '../contract/results/compare.ts'
import { tQuantile } from './distributions.ts'
import type { Paired } from './double-double.ts'
import type { Frame } from './frame.ts'
import { type Reached, whereReached } from './inverse-prediction.ts'
import type { LinearFit } from './linear-fit.ts'
import { rowDifference } from './ratio.ts'
import { testedRange } from './target-setting.ts'

/** For which speeds, and of which fit. */
export type SpeedQuestion = {
  fit: LinearFit
  /** Name of the column of speeds, or null where none can be told. */
  speed: string | null
  /** The target on the model's scale; NaN where there is none. */
  eta: number
  /** Of the intervals. */
  level: number
  /** What the coater can be set to; null where that is not known. */
  step: number | null
  /** The model's row of a group at a speed, or at the working point; null where the fit cannot tell it. */
  row(group: string, x: number | null): Paired | null
}

type Speeds = Omit<Comparison['reference'], 'group'>

/**
 * The speed at which each group reaches the target, with two intervals: that of the mean over days, in which the days
 * of the runs stand; and that of the speed at which the film is as thick as the first group's at its own, in which what
 * the two share in a session cancels. Both are the settings that the data do not contradict (E. C. Fieller, Journal of
 * the Royal Statistical Society B 16, 1954), with the degrees of freedom of each setting.
 */
export function correctedSpeeds(
  question: SpeedQuestion,
  reference: string,
): { here: number | null; of(group: string): Speeds } {
  const { eta, row } = question
  const reached = (group: string) => where(question, (x) => row(group, x), eta)
  const first = reached(reference)
  const here = first?.value ?? null
  return {
    here,
    of(group) {
      const own = group === reference ? first : reached(group)
      const base = here === null ? null : row(reference, here)
      const beside =
        own === null || base === null || group === reference
          ? null
          : where(
              question,
              (x) => {
                const found = row(group, x)
                return found && rowDifference(found, base)
              },
              0,
            )
      return {
        speedFor: own?.value ?? null,
        speedLower: own?.lower ?? null,
        speedUpper: own?.upper ?? null,
        speedSet: own === null ? null : toStep(own.value, question.step),
        besideLower: beside?.lower ?? null,
        besideUpper: beside?.upper ?? null,
      }
    },
  }
}

/** The nearest setting that a tool can be set to; null where its step is not known. */
export function toStep(value: number, step: number | null): number | null {
  return step === null ? null : Number((Math.round(value / step) * step).toPrecision(12))
}

/** The numeric column that corrects a shift or a thickness, or null where none can be told. */
export function speedColumn(frame: Frame, by: string | null, given?: string): string | null {
  const numeric = frame.columns
    .map(({ name }) => name)
    .filter((name) => name !== by && !(name in frame.levels))
  const wanted = given === undefined ? ['speed', 'rpm'] : [given]
  const found = numeric.find((name) => wanted.includes(name))
  return found ?? (given === undefined && numeric.length === 1 ? (numeric[0] as string) : null)
}

/** Where a combination along the speed reaches a level, with the settings that the data do not contradict. */
function where(
  { fit, speed, level: confidence }: SpeedQuestion,
  row: (x: number) => Paired | null,
  level: number,
): Reached | null {
  const column = fit.fitted.frame.columns.find(({ name }) => name === speed)
  if (column === undefined || !Number.isFinite(level)) return null
  // By least squares all settings have the same degrees of freedom.
  let known = { df: Number.NaN, square: 0 }
  return whereReached(
    (x) => {
      const found = row(x)
      if (found === null) return null
      const { estimate, variance, df } = fit.combination(found)
      if (df !== known.df) known = { df, square: tQuantile((1 + confidence) / 2, df) ** 2 }
      return { estimate, variance: known.square * variance }
    },
    { level, ...testedRange(fit.fitted, column), reach: 1 },
  )
}
