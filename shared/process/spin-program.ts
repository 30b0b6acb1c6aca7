import type { Finding, ProgramCheck } from '../contract/results.ts'
import type { Coater, HotPlate, Segment } from '../contract/things.ts'

/** Limits that stand until a person enters those of the tool at hand (common practice, no source). */
export const usualCoater: CoaterLimits = { maxSpeed: 6000, rampInside: true, limitsConfirmed: false }
export const usualHotPlate: PlateLimits = { maxTemperature: 300, limitsConfirmed: false }

export type CoaterLimits = Pick<Coater, 'maxSpeed' | 'rampInside' | 'limitsConfirmed'>
export type PlateLimits = Pick<HotPlate, 'maxTemperature' | 'limitsConfirmed'>

export type CheckInput = {
  /** In the order in which they run; the substrate stands still before the first. */
  segments: readonly Segment[]
  coater: CoaterLimits
  diameterMm?: number | null
  chuckMm?: number | null
  bake?: { temperature: number; time: number } | null
  hotPlate?: PlateLimits | null
}

/** What a study names of its tools, with the usual limits where it names none. */
export function toolsOf(study: {
  coater: CoaterLimits | null
  hotPlate: PlateLimits | null
  diameterMm: number
  chuckMm: number | null
}): Omit<CheckInput, 'segments' | 'bake'> {
  const { coater, hotPlate, diameterMm, chuckMm } = study
  return { coater: coater ?? usualCoater, hotPlate: hotPlate ?? usualHotPlate, diameterMm, chuckMm }
}

/** Times that agree to this share are the same: 300 rpm at 100 rpm/s is 3 s, whatever the last bit says. */
const sameTime = 1e-9
/** Least time at speed, s, and largest share of the ramp, for the segment that sets the thickness (common practice, no source). */
const leastDwell = 10
const largestRampShare = 0.25

/**
 * Place, from 0, of the segment that sets the thickness: the last one at the highest speed; −1 where there
 * is none.
 */
export function mainSegment(segments: readonly Segment[]): number {
  let main = -1
  segments.forEach((segment, i) => {
    const highest = segments[main]
    if (segment.rpm > 0 && (highest === undefined || segment.rpm >= highest.rpm)) main = i
  })
  return main
}

/**
 * Compares a spin program, the chuck and the bake with the limits of the tools. Speeds follow the program as
 * it is written: a segment starts from the set speed of the one before, reached or not. Only what is given is
 * compared; `checkStates` says what was not.
 *
 * @returns times in s, speeds in rpm; `segment` in a finding counts from 1
 */
export function checkProgram(input: CheckInput): ProgramCheck {
  const { segments, coater } = input
  const findings: Finding[] = []
  const outside = (finding: Omit<Finding, 'severity'>) =>
    findings.push({
      ...finding,
      severity: 'outside',
      message: finding.limitConfirmed ? `${finding.message}.` : `${finding.message}; limit not confirmed.`,
    })
  const limitConfirmed = coater.limitsConfirmed

  // Ramps are judged from set speed to set speed; the time at speed is what the coater really holds, which starts
  // from the speed reached where a ramp before did not fit.
  let reached = 0
  const timed = segments.map((segment, i) => {
    const from = segments[i - 1]?.rpm ?? 0
    const rampTime = Math.abs(segment.rpm - from) / segment.ramp
    const left = segment.rpm - reached
    const trueRampTime = Math.abs(left) / segment.ramp
    const fits = !coater.rampInside || trueRampTime <= segment.time * (1 + sameTime)
    reached = fits ? segment.rpm : reached + Math.sign(left) * segment.ramp * segment.time
    const timeAtSpeed = coater.rampInside ? Math.max(0, segment.time - trueRampTime) : segment.time
    return { from, to: segment.rpm, ramp: segment.ramp, time: segment.time, rampTime, timeAtSpeed }
  })

  timed.forEach(({ from, to, ramp, time, rampTime }, i) => {
    const segment = i + 1
    if (coater.rampInside && !rampFits(rampTime, time, to === 0))
      outside({
        code: 'ramp',
        segment,
        value: rampTime,
        limit: time,
        limitConfirmed,
        message:
          `Segment ${segment}: from ${shown(from)} to ${shown(to)} rpm at ${shown(ramp)} rpm/s takes ` +
          `${shown(rampTime)} s, ${to === 0 ? 'longer' : 'not shorter'} than the segment's ${shown(time)} s`,
      })
    if (to > coater.maxSpeed)
      outside({
        code: 'speed',
        segment,
        value: to,
        limit: coater.maxSpeed,
        limitConfirmed,
        message: `Segment ${segment}: ${shown(to)} rpm is above the coater's limit of ${shown(coater.maxSpeed)} rpm`,
      })
  })
  findings.push(...dwellWarnings(timed, mainSegment(segments), coater))

  const { diameterMm, chuckMm, bake, hotPlate } = input
  if (chuckMm != null && diameterMm != null && chuckMm > diameterMm)
    outside({
      code: 'chuck',
      value: chuckMm,
      limit: diameterMm,
      limitConfirmed,
      message: `The chuck of ${shown(chuckMm)} mm is wider than the substrate of ${shown(diameterMm)} mm`,
    })
  if (chuckMm != null && diameterMm != null && chuckMm <= diameterMm / 2)
    outside({
      code: 'chuck',
      value: chuckMm,
      limit: diameterMm / 2,
      limitConfirmed,
      message:
        `The chuck of ${shown(chuckMm)} mm is not wider than half of the substrate, ` +
        `${shown(diameterMm / 2)} mm of ${shown(diameterMm)} mm`,
    })
  if (bake && hotPlate && bake.temperature > hotPlate.maxTemperature)
    outside({
      code: 'bake',
      value: bake.temperature,
      limit: hotPlate.maxTemperature,
      limitConfirmed: hotPlate.limitsConfirmed,
      message:
        `The bake at ${shown(bake.temperature)} °C is above the hot plate's limit of ` +
        `${shown(hotPlate.maxTemperature)} °C`,
    })

  return { ok: findings.every((finding) => finding.severity !== 'outside'), segments: timed, findings }
}

/** A ramp is shorter than its segment; one down to a standstill may fill it. */
function rampFits(rampTime: number, time: number, stops: boolean): boolean {
  return stops ? rampTime <= time * (1 + sameTime) : rampTime < time * (1 - sameTime)
}

function dwellWarnings(
  timed: ProgramCheck['segments'],
  main: number,
  coater: CoaterLimits,
): (Finding & { severity: 'warning' })[] {
  const segment = timed[main]
  if (!segment) return []
  const { time, rampTime, timeAtSpeed } = segment
  const place = { code: 'dwell', severity: 'warning', segment: main + 1, limitConfirmed: false } as const
  const warnings: (Finding & { severity: 'warning' })[] = []
  if (timeAtSpeed < leastDwell)
    warnings.push({
      ...place,
      value: timeAtSpeed,
      limit: leastDwell,
      message:
        `Segment ${main + 1} sets the thickness and holds its speed for ${shown(timeAtSpeed)} s, ` +
        `less than ${leastDwell} s: the film may still be thinning when it ends.`,
    })
  if (coater.rampInside && rampTime > largestRampShare * time && rampFits(rampTime, time, false))
    warnings.push({
      ...place,
      value: rampTime,
      limit: largestRampShare * time,
      message:
        `Segment ${main + 1} sets the thickness and ramps for ${shown(rampTime)} s of its ${shown(time)} s, ` +
        `more than ${100 * largestRampShare} %.`,
    })
  return warnings
}

export type CheckState = {
  code: Finding['code']
  state: 'within' | 'outside' | 'not checked'
  /** The sentences of its warnings: a check with nothing but warnings is within. */
  warnings: string[]
}

/** What each check came to. One whose numbers were not all given was not made. */
export function checkStates(input: CheckInput, check: ProgramCheck): CheckState[] {
  const hasProgram = input.segments.length > 0
  const made: Record<Finding['code'], boolean> = {
    // Where the ramp comes on top of the segment's time nothing can be too long.
    ramp: hasProgram && input.coater.rampInside,
    dwell: mainSegment(input.segments) >= 0,
    speed: hasProgram,
    chuck: input.chuckMm != null && input.diameterMm != null,
    bake: input.bake != null && input.hotPlate != null,
  }
  return (Object.keys(made) as Finding['code'][]).map((code) => {
    const found = check.findings.filter((finding) => finding.code === code)
    const outside = found.some(({ severity }) => severity === 'outside')
    const warnings = found.flatMap(({ severity, message }) => (severity === 'warning' ? [message] : []))
    return { code, state: !made[code] ? 'not checked' : outside ? 'outside' : 'within', warnings }
  })
}

/** The state as shown: within, within with a warning, outside, not checked. */
export function stateInWords({ state, warnings }: Pick<CheckState, 'state' | 'warnings'>): string {
  return state === 'within' && warnings.length > 0 ? 'within, with a warning' : state
}

/**
 * The speed that the coater really runs, as corners of a line: time in s from the start, speed in rpm. A
 * ramp that does not fit ends at the speed reached, and the next segment starts there.
 */
export function programProfile(
  segments: readonly Segment[],
  rampInside: boolean,
): { time: number; rpm: number }[] {
  const points = [{ time: 0, rpm: 0 }]
  let time = 0
  let rpm = 0
  const goTo = (nextTime: number, nextRpm: number) => {
    if (nextTime > time) points.push({ time: nextTime, rpm: nextRpm })
    time = nextTime
    rpm = nextRpm
  }
  for (const segment of segments) {
    const start = time
    const rampTime = Math.abs(segment.rpm - rpm) / segment.ramp
    const end = rampInside ? start + segment.time : start + rampTime + segment.time
    if (start + rampTime <= end * (1 + sameTime)) goTo(Math.min(end, start + rampTime), segment.rpm)
    else goTo(end, rpm + Math.sign(segment.rpm - rpm) * segment.ramp * segment.time)
    goTo(end, rpm)
  }
  return points
}

/** At most four significant digits, whole numbers in full. */
function shown(value: number): string {
  return Number.isInteger(value) ? String(value) : String(Number(value.toPrecision(4)))
}
