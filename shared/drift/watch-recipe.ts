import { plainNumber } from '../charts/format.ts'
import type { RecipeDrift } from '../contract/calls/recipes.ts'
import type { SpeedExponent } from '../contract/recipes.ts'
import type { DriftChoice, TrendMeasure } from '../contract/results/drift.ts'
import { tQuantile } from '../model/distributions.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { differenceWords, eventWords } from './drift-words.ts'
import { retunedSpeed, type Shift } from './retune.ts'
import { stretchesOf } from './stretches.ts'
import { levelNow, trendWithin } from './trend.ts'
import { watchSeries } from './watch-series.ts'

export type RecipeDriftInput = {
  readings: RecipeDrift['readings']
  waiting: RecipeDrift['waiting']
  /** In time; `before` counts the readings taken before each. */
  events: RecipeDrift['events']
  targetNm: number
  /** Of the recipe, rpm; null where it sets none. */
  speed: number | null
  exponent: SpeedExponent | null
  choice: DriftChoice
}

/**
 * The drift of a recipe by its monitor runs: thickness and the spread within the wafer, each on the log scale. An
 * opening of the bottle is what a trend may be measured along, so it begins no stretch of its own.
 */
export function watchRecipe(input: RecipeDriftInput): Answer<RecipeDrift> {
  const { readings, events, choice } = input
  const breaks = events
    .filter(({ kind }) => kind !== 'bottle opened')
    .map(({ kind, text, before }) => ({ words: eventWords(kind, text), before }))
  const stretches = stretchesOf(readings.length, breaks)
  const along = measured(input)
  const { limitsFrom, rules } = choice
  const common = { limitsFrom, rules, breaks, along, scale: 'log' as const }
  const thicknesses = readings.map(({ thicknessNm }) => thicknessNm)
  const spreads = readings.flatMap(({ spread }) => (spread !== null && spread > 0 ? [spread] : []))
  const logs = thicknesses.map(Math.log)
  const trend = trendWithin(along.x, logs, stretches)
  const last = stretches.filter(({ from, to }) => to > from).at(-1)
  // A slope that may as well be none would only widen the interval.
  const slope = trend && (trend.lower > 0 || trend.upper < 0) ? trend : withoutSlope(logs, stretches)
  const level = last && slope ? levelNow(along.x, logs, last, slope) : null
  const shift = level && { ...level, estimate: level.estimate - Math.log(input.targetNm) }
  return good({
    readings,
    waiting: input.waiting,
    events,
    choice,
    thickness: watchSeries({ values: thicknesses, ...common }),
    spread:
      spreads.length === readings.length && readings.length > 0
        ? watchSeries({ values: spreads, ...common })
        : null,
    now: shift && nowOf(shift),
    retuned: shift && retunedOf(input, shift),
    problems: along.problems,
  })
}

/** What the trend is measured along; readings where the asked measure is not known of all. */
function measured({ readings, choice: { along }, events }: RecipeDriftInput): {
  measure: TrendMeasure
  x: number[]
  problems: Problem[]
} {
  const byReading = { measure: 'readings' as const, x: readings.map((_, i) => i) }
  if (along === 'readings') return { ...byReading, problems: [] }
  const x = readings.map(({ day, openings }) =>
    along === 'openings' ? openings : day === '' ? null : Date.parse(day) / 86_400_000,
  )
  const known = x.filter((value) => value !== null)
  if (known.length === x.length) return { measure: along, x: known, problems: [] }
  const message =
    along === 'days'
      ? 'Not every session has its day, so the trend is measured along readings. Enter the days on Bench, with the session.'
      : `The openings of the bottle are not known of every reading, so the trend is measured along readings. ${
          events.some(({ kind }) => kind === 'bottle opened')
            ? 'Note the first opening before the first reading.'
            : 'Name the bottle of each session on Bench, or note each opening here.'
        }`
  return { ...byReading, problems: [{ code: 'notMeasured', message }] }
}

/** Level without a trend: the scatter about the means of the stretches. */
function withoutSlope(logs: readonly number[], stretches: readonly { from: number; to: number }[]) {
  let [squares, df] = [0, 0]
  for (const { from, to } of stretches) {
    const values = logs.slice(from, to)
    const mean = values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length)
    squares += values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
    df += Math.max(0, values.length - 1)
  }
  return df < 1 ? null : { slope: 0, standardError: 0, sigma: Math.sqrt(squares / df), df }
}

function intervalOf({ estimate, standardError, df }: Shift): [number, number] {
  const reach = tQuantile(0.975, df) * standardError
  return [Math.expm1(estimate - reach), Math.expm1(estimate + reach)]
}

function nowOf(shift: Shift): NonNullable<RecipeDrift['now']> {
  const interval = intervalOf(shift)
  const say = (value: number) => differenceWords(value, 'log')
  return {
    shift: Math.expm1(shift.estimate),
    interval,
    words: `The films now lie ${say(Math.expm1(shift.estimate))} (${say(interval[0])} to ${say(interval[1])}) from the target.`,
  }
}

function retunedOf({ speed, exponent }: RecipeDriftInput, shift: Shift): RecipeDrift['retuned'] {
  if (speed === null || exponent === null || !(exponent.value > 0)) return null
  const { speed: found, lower, upper } = retunedSpeed({ speed, shift, exponent })
  const rpm = (value: number) => plainNumber(Math.round(value / 5) * 5)
  const [low, high] = intervalOf(shift)
  const needless =
    low <= 0 && high >= 0 ? ' That may as well be no move at all: the target lies within the interval.' : ''
  return {
    speed: found,
    interval: [lower, upper],
    words:
      `${rpm(found)} rpm (${rpm(lower)} to ${rpm(upper)}) in place of ${plainNumber(speed)} rpm would bring the mean ` +
      `back to the target, by the exponent ${exponent.value.toFixed(3)} ± ${exponent.standardError.toFixed(3)} of the recipe’s own fit.${needless}`,
  }
}
