import type { ProgramCheck } from '../contract/results/check.ts'
import type { Segment } from '../contract/things.ts'

/** Times that agree to this share are the same: 300 rpm at 100 rpm/s is 3 s, whatever the last bit says. */
const sameTime = 1e-9

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

export type Timed = ProgramCheck['segments'][number]

/**
 * The segments with their times. Ramps are judged from set speed to set speed; the time at speed is what the coater
 * really holds, which starts from the speed reached where a ramp before did not fit. `reached` is the speed at the
 * end of each segment.
 */
export function timedSegments(
  segments: readonly Segment[],
  rampInside: boolean,
): { timed: Timed[]; reached: number[] } {
  let speed = 0
  const reached: number[] = []
  const timed = segments.map((segment, i) => {
    const from = segments[i - 1]?.rpm ?? 0
    const rampTime = Math.abs(segment.rpm - from) / segment.ramp
    const left = segment.rpm - speed
    const trueRampTime = Math.abs(left) / segment.ramp
    const fits = !rampInside || trueRampTime <= segment.time * (1 + sameTime)
    speed = fits ? segment.rpm : speed + Math.sign(left) * segment.ramp * segment.time
    reached.push(speed)
    const timeAtSpeed = rampInside ? Math.max(0, segment.time - trueRampTime) : segment.time
    return { from, to: segment.rpm, ramp: segment.ramp, time: segment.time, rampTime, timeAtSpeed }
  })
  return { timed, reached }
}

/** Minutes at the coater by the program, from the start to the end of its last segment. */
export function programMinutes(segments: readonly Segment[], rampInside: boolean): number {
  return (programProfile(segments, rampInside).at(-1)?.time ?? 0) / 60
}

/** A ramp is shorter than its segment; one down to a standstill may fill it. */
export function rampFits(rampTime: number, time: number, stops: boolean): boolean {
  return stops ? rampTime <= time * (1 + sameTime) : rampTime < time * (1 - sameTime)
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
