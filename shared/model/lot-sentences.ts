import { fixed, plainNumber } from '../charts/format.ts'
import type { Comparison } from '../contract/results/compare.ts'

type Shift = Comparison['shifts'][number]
type Slope = Comparison['slopes'][number]

/** What the runs say of a lot against the reference: that it is equal, that it is not, or nothing yet. */
export type LotVerdict = 'support' | 'do not support' | 'do not yet tell' | 'not judged'

/**
 * Whether the data support that a lot is equal within the margin: they do where both one-sided tests do, they do not
 * where the interval of the shift lies outside the margin, and between the two more wafers are needed.
 */
export function lotVerdict(shift: Shift, margin: number | null): LotVerdict {
  if (margin === null || shift.equivalent === null) return 'not judged'
  if (shift.equivalent) return 'support'
  const { lower, upper } = shift
  const outside = (lower !== null && lower > 1 + margin) || (upper !== null && upper < 1 - margin)
  return outside ? 'do not support' : 'do not yet tell'
}

/** The shift of a lot and the speed that corrects it, with their intervals, in a sentence. */
export function shiftSentence(
  shift: Shift,
  { reference, level, unit, by = 'lot' }: { reference: string; level: number; unit: string; by?: string },
): string {
  const { group, ratio, lower, upper, speedFor, speedSet, besideLower, besideUpper } = shift
  const pair = `Films of ${by} ${group}`
  const size = (value: number) => `${fixed(Math.abs(100 * (value - 1)), 2)} %`
  const side = (value: number) => `${size(value)} ${value < 1 ? 'thinner' : 'thicker'}`
  if (lower === null || upper === null)
    return `${pair} are by estimate ${side(ratio)} than those of ${by} ${reference}; by how much, the runs cannot tell.`
  const apart = `(between ${side(lower)} and ${side(upper)}, ${plainNumber(100 * level)} % interval)`
  const told = lower > 1 || upper < 1 ? '' : ', which may as well be no difference'
  const speed = speedSet ?? speedFor
  const span =
    besideLower === null || besideUpper === null
      ? ''
      : ` (${fixed(besideLower, 0)} to ${fixed(besideUpper, 0)})`
  const correct =
    speed === null
      ? ''
      : ` At ${fixed(speed, 0)} ${unit}${span} they are as thick as those of ${by} ${reference} at its own speed.`
  return `${pair} are ${side(ratio)} than those of ${by} ${reference} ${apart}${told}.${correct}`
}

/** The verdict in a sentence. */
export function verdictSentence(
  shift: Shift,
  { reference, margin, by = 'lot' }: { reference: string; margin: number | null; by?: string },
): string {
  const pair = `${by} ${shift.group} and ${by} ${reference}`
  const verdict = lotVerdict(shift, margin)
  if (margin === null) return `No margin is stated, so equivalence of ${pair} is not judged.`
  if (verdict === 'not judged')
    return `Equivalence of ${pair} is not judged: a difference of days could count as one of ${by}.`
  const within = `within ±${plainNumber(100 * margin)} %`
  const more = verdict === 'do not yet tell' ? ' More wafers of both are needed.' : ''
  return `The data ${verdict} equivalence of ${pair} ${within}.${more}`
}

/**
 * How far a slope lies from that of the reference, as shares of it: parallel is what an interval around 0 is narrow
 * enough to say, not what a test fails to find.
 */
export function slopeSentence(
  slope: Slope,
  { level, by = 'lot', ...of }: { reference: string; level: number; by?: string },
): string {
  const { group, term, lower, upper } = slope
  const reference = `${by} ${of.reference}`
  const start = `Slope along ${term}${placeOf(slope)}: ${by} ${group}’s`
  if (lower === null || upper === null || slope.reference === 0)
    return `${start} cannot be held against that of ${reference}.`
  const shares = [lower, upper].map((end) => (100 * end) / slope.reference).sort((a, b) => a - b)
  const [low, high] = shares as [number, number]
  const percent = (share: number) => `${fixed(Math.abs(share), 1)} %`
  const side = (share: number) => `${percent(share)} ${share < 0 ? 'flatter' : 'steeper'}`
  const interval = `(${plainNumber(100 * level)} % interval)`
  if (low <= 0 && high >= 0)
    return `${start} lies between ${side(low)} and ${side(high)} than ${reference}’s ${interval}: parallel to within that.`
  const [near, far] = low > 0 ? [low, high] : [high, low]
  return `${start} is ${percent(near)} to ${side(far)} than ${reference}’s ${interval}: not parallel.`
}

/** At which settings a slope holds, where it is not the same at all. */
function placeOf({ at }: Slope): string {
  const settings = Object.entries(at).map(
    ([name, value]) =>
      `${name} ${typeof value === 'number' ? plainNumber(Number(value.toPrecision(4))) : value}`,
  )
  return settings.length === 0 ? '' : ` at ${settings.join(', ')}`
}

const sources = {
  estimated: 'by these runs',
  earlierStudies: 'by earlier studies',
  stated: 'taken by default',
} as const
const groupWords: Record<string, string> = {
  session: 'sessions',
  plateVisit: 'visits to the plate',
  residual: 'runs',
}

/**
 * By how much sessions, visits to the plate and runs differ, where that is known from, and what of it is in the numbers.
 *
 * @param logarithmic whether the model is of the logarithm, so that deviations are shares
 */
export function variationSentence(
  variation: Comparison['variation'],
  { logarithmic, by = 'lot' }: { logarithmic: boolean; by?: string },
): string {
  if (variation.length < 2)
    return `Sessions have no variance of their own here: intervals hold for the sessions of these runs.`
  const parts = variation.map(({ group, standardDeviation, source }) => {
    const size = logarithmic
      ? `${fixed(100 * standardDeviation, 2)} %`
      : plainNumber(Number(standardDeviation.toPrecision(3)))
    return `${groupWords[group] ?? group} ${size}${group === 'residual' ? '' : ` (${sources[source]})`}`
  })
  return (
    `Standard deviations: ${parts.join(', ')}. What two ${by}s share in a session cancels in their shift; ` +
    'it does not in the interval of a speed for another day.'
  )
}

/** What was allowed for where several lots are held against the first. */
export const holmSentence =
  'With several shifts, p values and verdicts allow for their number by Holm’s steps; the intervals are each one’s own.'

/** Said where lots have curves of their own in some terms only. */
export function commonSentence({ slopes }: Pick<Comparison, 'slopes'>): string {
  const own = [...new Set(slopes.map(({ term }) => term))].join(' and ')
  return `Only along ${own} do all have the runs for a slope of their own; in every other term they are taken to act alike.`
}

/** Said where the runs of a lot are too few for a curve of its own. */
export const parallelSentence =
  'The runs do not carry a curve of its own for each: shifts and corrected settings are read from parallel curves, with one slope for all.'
