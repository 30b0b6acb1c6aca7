import { type Chart, chartOptions, configuration, line } from './chart.ts'
import { fixed, plainNumber } from './format.ts'
import type { ChartTheme } from './theme.ts'

/** What the program check says of a segment: speeds in rpm, ramp in rpm/s, times in s. */
export type CheckedSegment = {
  from: number
  to: number
  ramp: number
  time: number
  rampTime: number
  timeAtSpeed: number
}

/** The spin program drawn as speed against time, with the time at speed of each segment. */
export function programChart(options: {
  profile: { time: number; rpm: number }[]
  segments: CheckedSegment[]
  theme: ChartTheme
}): Chart {
  const { profile, segments, theme } = options
  const points = profile.map(({ time, rpm }) => ({ x: time, y: rpm }))
  const end = points.at(-1)?.x ?? 0
  const begins = segments.map((_, k) => segments.slice(0, k).reduce((sum, { time }) => sum + time, 0))
  const top = points.reduce((most, point) => Math.max(most, point.y), 0)
  return {
    label: `Spin program: speed against time in ${segments.length} segments, ${plainNumber(end)} s in all.`,
    config: configuration(
      [line(theme, points, { fill: 'origin', backgroundColor: theme.bandPrediction, tension: 0 })],
      chartOptions(
        theme,
        {
          x: { title: 'time (s)', min: 0, max: end || 1 },
          y: { title: 'speed (rpm)', min: 0, max: (top || 1) * 1.18 },
        },
        { plugins: { annotation: { annotations: Object.fromEntries(dwells(profile, segments, theme)) } } },
      ),
    ),
    table: {
      columns: [
        'segment',
        'from (rpm)',
        'to (rpm)',
        'ramp (rpm/s)',
        'time (s)',
        'ramp time (s)',
        'at speed (s)',
        'begins at (s)',
        'ends at (s)',
      ],
      rows: segments.map((segment, k) => [
        String(k + 1),
        plainNumber(segment.from),
        plainNumber(segment.to),
        plainNumber(segment.ramp),
        plainNumber(segment.time),
        fixed(segment.rampTime, 2),
        fixed(segment.timeAtSpeed, 2),
        fixed(begins[k], 2),
        fixed((begins[k] as number) + segment.time, 2),
      ]),
    },
    crosshair: 'x',
    stops: profile.map(({ time, rpm }) => ({
      x: time,
      y: rpm,
      words: `${fixed(time, 1)} s: ${plainNumber(rpm)} rpm`,
    })),
  }
}

/** A word above each level stretch of the profile, its time at speed; short stretches get a short word. */
function dwells(
  profile: { time: number; rpm: number }[],
  segments: CheckedSegment[],
  theme: ChartTheme,
): [string, object][] {
  const levels = segments.filter((segment) => segment.timeAtSpeed > 0 && segment.to > 0)
  let from = 0
  return levels.flatMap((segment, k) => {
    const start = profile.findIndex((point, i) => i >= from && point.rpm === segment.to)
    const a = profile[start]
    const b = profile[start + 1]
    if (!a || !b) return []
    from = start + 1
    const wide = b.time - a.time > 0.3 * (profile.at(-1)?.time ?? 0)
    const label = {
      type: 'label',
      xValue: (a.time + b.time) / 2,
      yValue: segment.to,
      yAdjust: -12,
      content: wide
        ? `${plainNumber(segment.to)} rpm, ${fixed(segment.timeAtSpeed, 1)} s at speed`
        : `${fixed(segment.timeAtSpeed, 1)} s`,
      color: theme.ink,
      font: { family: theme.font, size: 13 },
    }
    return [[`dwell${k}`, label]]
  })
}
