import { checkCodes } from '../contract/choices.ts'
import type { CheckState, ProgramCheck } from '../contract/results/check.ts'
import type { CheckInput } from './check-program.ts'
import { mainSegment } from './spin-program.ts'

/** What each check came to, in the order of `checkCodes`. One whose numbers were not all given was not made. */
export function checkStates(input: CheckInput, check: ProgramCheck): CheckState[] {
  const made = checksMade(input)
  return checkCodes.map((code) => {
    const findings = check.findings.filter((finding) => finding.code === code)
    const outside = findings.some(({ severity }) => severity === 'outside')
    const found = made[code] || findings.length > 0
    return { code, state: outside ? 'outside' : found ? 'within' : 'not checked', findings }
  })
}

function checksMade(input: CheckInput): Record<CheckState['code'], boolean> {
  const { segments, coater, bake, hotPlate, resist, bottle } = input
  const hasProgram = segments.length > 0
  const hasMain = mainSegment(segments) >= 0
  const given = (...limits: (number | null | undefined)[]) => limits.some((limit) => limit != null)
  return {
    // Where the ramp comes on top of the segment's time nothing can be too long, and every speed is reached.
    ramp: hasProgram && coater.rampInside,
    reached: hasMain && coater.rampInside,
    dwell: hasMain,
    speed: hasProgram,
    acceleration: hasProgram && given(coater.maxRamp),
    chuck: given(input.chuckMm) && (given(input.diameterMm) || input.sidesMm != null),
    bake: bake != null && hotPlate != null,
    resist:
      (hasMain && given(resist?.speedLow, resist?.speedHigh)) ||
      (bake != null && given(resist?.bakeLow, resist?.bakeHigh)),
    total: hasProgram && bake != null && given(input.coatMinutes),
    settle: given(input.minutesSinceSet) && hotPlate?.soak !== undefined,
    // What was planned says nothing of what was coated: without the wafer's place there is nothing to compare.
    bowl: given(input.waferSinceClean),
    // A bottle that has to warm up is not checked until it is known since when it is out; of a run that is done,
    // nobody asks.
    bottle: bottle != null && !(bottle.waits && resist?.warmUpMinutes != null && bottle.minutesOut === null),
  }
}

/** The state as shown: within, within with a warning, outside, not checked. */
export function stateInWords({ state, findings }: Pick<CheckState, 'state' | 'findings'>): string {
  return state === 'within' && findings.length > 0 ? 'within, with a warning' : state
}
