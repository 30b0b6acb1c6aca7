import type { Finding } from '../contract/results/check.ts'
import type { CheckInput, CoaterLimits } from './check-program.ts'
import { outside, warning } from './findings.ts'
import { shown } from './shown.ts'
import { rampFits, type Timed } from './spin-program.ts'

/** Least time at speed, s, and largest share of the ramp, for the segment that sets the thickness (common practice, no source). */
const leastDwell = 10
const largestRampShare = 0.25

export function segmentFindings(timed: Timed, i: number, reached: number, coater: CoaterLimits): Finding[] {
  const { from, to, ramp, time, rampTime } = timed
  const segment = i + 1
  const limitConfirmed = coater.limitsConfirmed
  const findings: Finding[] = []
  if (coater.rampInside && !rampFits(rampTime, time, to === 0)) {
    const words =
      to === 0
        ? `so the chuck still turns at ${shown(reached)} rpm when it ends`
        : reached === to
          ? 'so no time at speed is left'
          : `so it gets to ${shown(reached)} rpm`
    findings.push(
      outside({
        code: 'ramp',
        segment,
        value: rampTime,
        limit: time,
        limitConfirmed,
        message:
          `Segment ${segment}: from ${shown(from)} to ${shown(to)} rpm at ${shown(ramp)} rpm/s takes ` +
          `${shown(rampTime)} s, ${to === 0 ? 'longer' : 'not shorter'} than the segment's ${shown(time)} s, ${words}`,
      }),
    )
  }
  if (to > coater.maxSpeed)
    findings.push(
      outside({
        code: 'speed',
        segment,
        value: to,
        limit: coater.maxSpeed,
        limitConfirmed,
        message: `Segment ${segment}: ${shown(to)} rpm is above the coater's limit of ${shown(coater.maxSpeed)} rpm`,
      }),
    )
  if (coater.maxRamp != null && ramp > coater.maxRamp)
    findings.push(
      outside({
        code: 'acceleration',
        segment,
        value: ramp,
        limit: coater.maxRamp,
        limitConfirmed,
        message: `Segment ${segment}: ${shown(ramp)} rpm/s is above the coater's limit of ${shown(coater.maxRamp)} rpm/s`,
      }),
    )
  return findings
}

/** The thickness is set at a speed that is never reached, if only because of a segment before. */
export function reachedFindings(
  timed: Timed | undefined,
  main: number,
  reached: number,
  coater: CoaterLimits,
): Finding[] {
  if (!timed || reached >= timed.to || !rampFits(timed.rampTime, timed.time, false)) return []
  return [
    outside({
      code: 'reached',
      segment: main + 1,
      value: reached,
      limit: timed.to,
      limitConfirmed: coater.limitsConfirmed,
      message:
        `Segment ${main + 1} sets the thickness at ${shown(timed.to)} rpm, but starts below its set speed and ` +
        `gets to ${shown(reached)} rpm`,
    }),
  ]
}

export function resistSpeedFindings(
  timed: Timed | undefined,
  main: number,
  resist: CheckInput['resist'],
): Finding[] {
  if (!timed || !resist) return []
  const { speedLow, speedHigh } = resist
  const limit =
    speedLow !== null && timed.to < speedLow
      ? speedLow
      : speedHigh !== null && timed.to > speedHigh
        ? speedHigh
        : null
  if (limit === null) return []
  return [
    outside({
      code: 'resist',
      segment: main + 1,
      value: timed.to,
      limit,
      limitConfirmed: true,
      message:
        `Segment ${main + 1} sets the thickness at ${shown(timed.to)} rpm, ${timed.to < limit ? 'below' : 'above'} ` +
        `the resist's ${shown(limit)} rpm`,
    }),
  ]
}

export function dwellWarnings(
  timed: Timed | undefined,
  main: number,
  coater: CoaterLimits,
  dryingTime: number | null,
): Finding[] {
  if (!timed) return []
  const { time, rampTime, timeAtSpeed } = timed
  const place = { code: 'dwell', segment: main + 1 } as const
  const least = dryingTime ?? leastDwell
  const warnings: Finding[] = []
  if (timeAtSpeed < least)
    warnings.push(
      warning({
        ...place,
        limitConfirmed: dryingTime !== null,
        value: timeAtSpeed,
        limit: least,
        message:
          `Segment ${main + 1} sets the thickness and holds its speed for ${shown(timeAtSpeed)} s, ` +
          `less than ${dryingTime === null ? `${least} s` : `the resist's drying time of ${shown(least)} s`}: ` +
          'the film may still be thinning when it ends.',
      }),
    )
  if (coater.rampInside && rampTime > largestRampShare * time && rampFits(rampTime, time, false))
    warnings.push(
      warning({
        ...place,
        limitConfirmed: false,
        value: rampTime,
        limit: largestRampShare * time,
        message:
          `Segment ${main + 1} sets the thickness and ramps for ${shown(rampTime)} s of its ${shown(time)} s, ` +
          `more than ${100 * largestRampShare} %.`,
      }),
    )
  return warnings
}
