import type {
  ConfirmationJudgement,
  ConfirmationRecord,
  ConfirmationRun,
} from '../contract/results/confirmation.ts'
import { retunedSpeed } from '../drift/retune.ts'
import { toStep } from '../model/corrected-speed.ts'
import { tQuantile } from '../model/distributions.ts'
import { intervalToMeasured, type ResponseScale, toModel } from '../model/response.ts'
import { confirmationWords } from './confirmation-words.ts'
import { leastShare } from './least-share.ts'
import { type Day, releaseInterval, setMean } from './release.ts'

/** A run of the set with what has been measured of it. */
export type RunOfSet = Pick<ConfirmationRun, 'code' | 'session' | 'state' | 'measured' | 'evenness'>

const confidence = 0.95
const releasedShare = 0.95
const biasLevel = 0.95

/**
 * Holds the wafers of a confirmation against what was written down for them. It is passed where all of them are
 * measured, on as many days as planned, all lie in the interval for the whole set, and all are in tolerance.
 *
 * @param options.scale of the model in the record
 * @param options.speedStep what the coater can be set to; null where that is not known
 */
export function judgeConfirmation(options: {
  record: ConfirmationRecord
  scale: ResponseScale
  runs: readonly RunOfSet[]
  speedStep: number | null
}): ConfirmationJudgement {
  const { record, scale, speedStep } = options
  const runs = options.runs.map((run) => judgeRun(record, run))
  const measured = runs.filter(({ state }) => state === 'measured')
  const isGood = ({ inTolerance, even }: ConfirmationRun) => inTolerance === true && even !== false
  const count = measured.filter(isGood).length
  const good = {
    count,
    of: measured.length,
    leastShare: leastShare(count, measured.length, confidence),
    confidence,
  }
  const days = daysOf(measured, scale)
  const failed = measured.some((run) => run.inside === false || !isGood(run))
  const complete =
    measured.length > 0 &&
    runs.every(({ state }) => state !== 'waiting') &&
    days.length >= record.runsByDay.length
  const verdict = failed ? 'not passed' : complete ? 'passed' : 'not yet'
  const judgement = {
    verdict,
    runs,
    good,
    release: releaseOf(record, scale, days),
    bias: biasOf(record, scale, days, speedStep),
  } as const
  return { ...judgement, words: confirmationWords(record, judgement, days.length) }
}

function judgeRun({ simultaneous, target, tolerance, uniformityLimit }: ConfirmationRecord, run: RunOfSet) {
  const { measured, evenness, state } = run
  const known = state === 'measured' ? measured : null
  return {
    ...run,
    inside: known === null ? null : known >= simultaneous[0] && known <= simultaneous[1],
    inTolerance: known === null ? null : Math.abs(known - target) <= tolerance,
    even:
      known === null || uniformityLimit === null || evenness === null ? null : evenness <= uniformityLimit,
  }
}

/** The measured wafers on the model's scale, by session; those of no named one together. */
function daysOf(runs: readonly ConfirmationRun[], scale: ResponseScale): Day[] {
  const days = new Map<string | null, number[]>()
  for (const { session, measured } of runs)
    if (measured !== null) days.set(session, [...(days.get(session) ?? []), toModel(scale, measured)])
  return [...days.values()]
}

function releaseOf(
  { errors, scope, target, tolerance }: ConfirmationRecord,
  scale: ResponseScale,
  days: readonly Day[],
): ConfirmationJudgement['release'] {
  if (days.flat().length < 2) return null
  const released = releaseInterval({ days, errors, scope, share: releasedShare, confidence })
  if (released === null) return null
  const { lower, upper, df } = released
  const interval = intervalToMeasured(scale, [lower, upper])
  if (interval === null) return null
  const within = interval[0] >= target - tolerance && interval[1] <= target + tolerance
  return { interval, share: releasedShare, confidence, df, days: days.length, within }
}

/** How far the set as a whole lies from what was predicted, and the speed at which it would be on the target. */
function biasOf(
  { errors, estimate, target, speed }: ConfirmationRecord,
  scale: ResponseScale,
  days: readonly Day[],
  speedStep: number | null,
): ConfirmationJudgement['bias'] {
  if (days.length === 0) return null
  const { mean, variance } = setMean(days, errors)
  const predicted = toModel(scale, estimate)
  const standardError = Math.sqrt(errors.common + variance)
  const significant = Math.abs(mean - predicted) > tQuantile((1 + biasLevel) / 2, errors.df) * standardError
  const middle = intervalToMeasured(scale, [mean, mean])?.[0] ?? estimate
  const bias = { share: middle / estimate - 1, significant }
  // A film that does not get thinner with speed is not put right by it.
  if (!significant || speed === null || speed.slope >= 0) return { ...bias, speed: null }
  const {
    speed: at,
    lower,
    upper,
  } = retunedSpeed({
    speed: speed.at,
    shift: {
      estimate: mean - toModel(scale, target),
      standardError: Math.sqrt(variance),
      df: errors.df,
    },
    exponent: { value: -speed.slope, standardError: speed.standardError },
  })
  return { ...bias, speed: { factor: speed.factor, at, set: toStep(at, speedStep), lower, upper } }
}
