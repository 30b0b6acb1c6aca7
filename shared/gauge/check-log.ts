import type { CheckStandard } from '../contract/gauges.ts'
import type { CheckLogResult, GaugeNumber } from '../contract/results/gauge.ts'
import { limitsOf } from '../drift/limits.ts'
import { alarmsOf } from '../drift/rules.ts'
import { combinedUncertainty } from '../film/uncertainty.ts'
import { meanOf, squaresAbout } from '../means.ts'
import { fQuantile, normalCdf, tQuantile } from '../model/distributions.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { grouped } from './grouped.ts'
import { slopeOf } from './slope.ts'
import { deviationFactors } from './variance-interval.ts'

/** Limits come from the first days up to the larger number; from fewer than the smaller they are rough (trade practice). */
const limitDays = { enough: 15, most: 20 } as const
/** So many days set limits at least; where there are more, as many as the first half of them do (ours, no source). */
const leastDays = 5
/** How many of the first days set the limits: all while they are few, so that later ones do not judge themselves. */
const settingDays = (days: number) => Math.min(limitDays.most, Math.max(leastDays, Math.floor(days / 2)))
/** A day is off nominal beyond so many standard uncertainties. */
const farOff = 3
const zoneRules = ['beyond three', 'two of three', 'four of five', 'eight on one side'] as const

/** The readings of one day. */
type Day = { day: string; n: number; mean: number; squares: number }
type Nominal = Pick<CheckStandard, 'nominalNm' | 'uncertaintyNm'>

/**
 * What the log of a check standard says, all numbers in nm: the short-term standard deviation within days and the
 * long-term one of the means of days (NIST/SEMATECH e-Handbook 2.2.2), the bias against the certified value, the
 * limits of a chart of individual values with the zone rules, days that scatter more than the others (after e-Handbook
 * 2.2.3), days that lie off the nominal by more than three times its uncertainty and the scatter of the first days together,
 * and the drift.
 *
 * The calibration's standard uncertainty holds the certificate's, the bias itself, since readings are not corrected for
 * it (JCGM 100:2008, F.2.4.5), what is not known of the bias, and how one day differs from another.
 *
 * @param readings by day, YYYY-MM-DD; the days need not be in order
 */
export function analyseCheckLog(
  readings: readonly { day: string; value: number }[],
  { nominalNm: nominal, uncertaintyNm }: Nominal,
  level = 0.95,
): Answer<CheckLogResult> {
  if (readings.length === 0) return refuse('noReadings', 'There is no reading of this standard yet.')
  const days = daysOf(readings)
  const short = pooled(days)
  const base = days.slice(0, settingDays(days.length))
  const means = days.map(({ mean }) => mean)
  const mean = meanOf(means)
  const long = spreadOf(means)
  const limits = base.length < leastDays ? null : limitsOf(base.map(({ mean }) => mean))
  const z = limits ? days.map((day) => (day.mean - limits.centre) / limits.sigma) : []
  const alarms = limits ? alarmsOf(means, limits, zoneRules) : []
  const bias = biasOf(mean - nominal, long, days.length, uncertaintyNm, level)
  const at = days.map(({ day }) => Date.parse(day) / 86_400_000)
  const drift = slopeOf(at, means, level)
  return good({
    days: days.map((each, i) => ({
      day: each.day,
      n: each.n,
      mean: each.mean,
      standardDeviation: each.n > 1 ? Math.sqrt(each.squares / (each.n - 1)) : null,
      z: z[i] ?? null,
      alarms: [
        ...alarms.flatMap(({ index, rule }) => (index === i && rule !== 'average' ? [rule] : [])),
        ...(scattersMore(each, short) ? (['scatter'] as const) : []),
        ...(limits && Math.abs(each.mean - nominal) > farOff * Math.hypot(uncertaintyNm, limits.sigma)
          ? (['off nominal'] as const)
          : []),
      ],
    })),
    n: readings.length,
    mean,
    nominal,
    bias,
    shortTerm: short && { ...short, interval: intervalOf(short, level) },
    longTerm: long && { ...long, interval: intervalOf(long, level) },
    limits: limits && {
      centre: limits.centre,
      low: limits.lower,
      high: limits.upper,
      days: base.length,
    },
    drift: drift && { perDay: drift.value, interval: drift.interval, p: drift.p },
    calibration: long && calibrationOf({ bias: mean - nominal, nominal, uncertaintyNm, long, short, days }),
    problems: cautionsOf(base.length, limits !== null),
  })
}

function daysOf(readings: readonly { day: string; value: number }[]): Day[] {
  return [...grouped(readings, ({ day }) => day)]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([day, own]) => {
      const values = own.map(({ value }) => value)
      const mean = meanOf(values)
      return { day, n: values.length, mean, squares: squaresAbout(mean, values) }
    })
}

/** The standard deviation within days. */
function pooled(days: readonly Day[]): { value: number; df: number } | null {
  const df = days.reduce((sum, { n }) => sum + n - 1, 0)
  return df > 0 ? { value: Math.sqrt(days.reduce((sum, { squares }) => sum + squares, 0) / df), df } : null
}

/** The standard deviation of the means of days. */
function spreadOf(means: readonly number[]): { value: number; df: number } | null {
  const df = means.length - 1
  return df > 0 ? { value: Math.sqrt(squaresAbout(meanOf(means), means) / df), df } : null
}

/**
 * Whether the readings of a day scatter more than those of the other days: by an F test that comes out by chance as
 * rarely as a point beyond three standard deviations.
 */
function scattersMore({ n, squares }: Day, all: { value: number; df: number } | null): boolean {
  const others = (all?.df ?? 0) - (n - 1)
  if (!all || n < 2 || others < 1) return false
  const rest = (all.value ** 2 * all.df - squares) / others
  return rest > 0 && squares / (n - 1) / rest > fQuantile(normalCdf(3), n - 1, others)
}

function biasOf(
  value: number,
  long: GaugeNumber | null,
  days: number,
  uncertainty: number,
  level: number,
): CheckLogResult['bias'] {
  if (!long) return { value, standardUncertainty: null, df: null, interval: null }
  const { standard, df } = combinedUncertainty([
    { value: long.value / Math.sqrt(days), df: long.df },
    { value: uncertainty, df: null },
  ])
  // With no degrees of freedom to count, Student's t is the normal distribution.
  const half = tQuantile(0.5 + level / 2, df ?? 1e6) * standard
  return { value, standardUncertainty: standard, df, interval: [value - half, value + half] }
}

function calibrationOf(given: {
  bias: number
  nominal: number
  uncertaintyNm: number
  long: { value: number; df: number }
  short: { value: number; df: number } | null
  days: readonly Day[]
}): GaugeNumber {
  const { bias, nominal, uncertaintyNm, long, short, days } = given
  // What scans within a day make of the scatter of its mean is the repeatability's, and not counted here again.
  const ofScans = short ? short.value ** 2 * meanOf(days.map(({ n }) => 1 / n)) : 0
  const { standard, df } = combinedUncertainty([
    { value: uncertaintyNm, df: null },
    { value: bias, df: null },
    { value: long.value / Math.sqrt(days.length), df: long.df },
    { value: Math.sqrt(Math.max(0, long.value ** 2 - ofScans)), df: long.df },
  ])
  return { value: standard / nominal, df }
}

function cautionsOf(days: number, limited: boolean): Problem[] {
  if (!limited)
    return [
      {
        code: 'tooFewDays',
        message: `Control limits need readings that differ on at least ${leastDays} days; from ${limitDays.enough} days on they are worth something.`,
      },
    ]
  if (days >= limitDays.enough) return []
  return [
    {
      code: 'roughLimits',
      message: `The limits come from only ${days} days and are rough: from fewer than ${limitDays.enough} days false alarms are frequent.`,
    },
  ]
}

function intervalOf({ value, df }: { value: number; df: number }, level: number): [number, number] {
  const [low, high] = deviationFactors(df, level)
  return [value * low, value * high]
}
