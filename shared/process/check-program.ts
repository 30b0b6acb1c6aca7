import type { ProgramCheck } from '../contract/results/check.ts'
import type { Segment } from '../contract/things.ts'
import type { Coater, HotPlate, ResistLimits } from '../contract/tools.ts'
import { type BottleAtHand, bottleFindings, bowlFindings, settleFindings } from './check-bench.ts'
import { dwellWarnings, reachedFindings, resistSpeedFindings, segmentFindings } from './check-segments.ts'
import { bakeFindings, chuckFindings, totalFindings } from './check-tools.ts'
import type { PlateOffset } from './plate-offset.ts'
import { mainSegment, timedSegments } from './spin-program.ts'

/** Limits that stand until a person enters those of the tool at hand (common practice, no source). */
export const usualCoater: CoaterLimits = { maxSpeed: 6000, rampInside: true, limitsConfirmed: false }
export const usualHotPlate: PlateLimits = { maxTemperature: 300, limitsConfirmed: false }

export type CoaterLimits = Pick<Coater, 'maxSpeed' | 'rampInside' | 'limitsConfirmed'> &
  Partial<Pick<Coater, 'maxRamp'>>
export type PlateLimits = Pick<HotPlate, 'maxTemperature' | 'limitsConfirmed'> &
  Partial<PlateOffset & Pick<HotPlate, 'soak'>>

/** Everything that a run can be compared with. What is left out or null is not compared. */
export type CheckInput = {
  /** In the order in which they run; the substrate stands still before the first. */
  segments: readonly Segment[]
  coater: CoaterLimits
  /** Of a round substrate, mm. */
  diameterMm?: number | null
  /** Sides of a rectangular substrate, mm, in place of the diameter. */
  sidesMm?: readonly [number, number] | null
  chuckMm?: number | null
  /** °C on the display, s. */
  bake?: { temperature: number; time: number } | null
  hotPlate?: PlateLimits | null
  resist?: ResistLimits | null
  /** What the plan counts for coat, bake and cool of one substrate. */
  coatMinutes?: number | null
  minutesSinceSet?: number | null
  /** Dummies that the study plans, and the place of this substrate since the bowl was cleaned, once it is known. */
  dummies?: number | null
  waferSinceClean?: number | null
  bottle?: BottleAtHand | null
}

/** What a study names of its tools and its resist, with the usual limits where it names none. */
export function toolsOf(study: {
  coater: CoaterLimits | null
  hotPlate: PlateLimits | null
  diameterMm: number
  chuckMm: number | null
  substrateShape?: string
  widthMm?: number | null
  heightMm?: number | null
  resistLimits?: ResistLimits
  coatMinutes?: number
  dummies?: number
}): Omit<CheckInput, 'segments' | 'bake'> {
  const { coater, hotPlate, diameterMm, chuckMm, widthMm, heightMm } = study
  const rectangle = study.substrateShape === 'rectangle' && widthMm != null && heightMm != null
  return {
    coater: coater ?? usualCoater,
    hotPlate: hotPlate ?? usualHotPlate,
    ...(rectangle ? { sidesMm: [widthMm, heightMm] } : { diameterMm }),
    chuckMm,
    resist: study.resistLimits ?? null,
    coatMinutes: study.coatMinutes ?? null,
    dummies: study.dummies ?? null,
  }
}

/**
 * Compares a spin program, the chuck and the bake with the limits of the tools. Speeds follow the program as
 * it is written: a segment starts from the set speed of the one before, reached or not. Only what is given is
 * compared; `checkStates` says what was not.
 *
 * @returns times in s, speeds in rpm; `segment` in a finding counts from 1
 */
export function checkProgram(input: CheckInput): ProgramCheck {
  const { segments, coater, resist } = input
  const { timed, reached } = timedSegments(segments, coater.rampInside)
  const main = mainSegment(segments)
  const findings = [
    ...timed.flatMap((segment, i) => segmentFindings(segment, i, reached[i] as number, coater)),
    ...reachedFindings(timed[main], main, reached[main] as number, coater),
    ...dwellWarnings(timed[main], main, coater, resist?.dryingTime ?? null),
    ...resistSpeedFindings(timed[main], main, resist),
    ...chuckFindings(input),
    ...bakeFindings(input),
    ...totalFindings(input),
    ...settleFindings(input),
    ...bowlFindings(input),
    ...bottleFindings(input),
  ]
  return { ok: findings.every((finding) => finding.severity !== 'outside'), segments: timed, findings }
}
