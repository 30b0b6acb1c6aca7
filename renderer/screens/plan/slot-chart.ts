import { type Chart, chartOptions, configuration, line } from '../../../shared/charts/chart.ts'
import { plainNumber } from '../../../shared/charts/format.ts'
import type { ChartTheme } from '../../../shared/charts/theme.ts'
import type { Timeline, TimelineStep } from '../../../shared/contract/results/plan.ts'
import { clockAfter } from '../../../shared/process/clock.ts'
import { slotBars } from './slot-bar.ts'
import { words } from './words.ts'

/** How the bar of each kind of step is drawn: by lightness and dashes, so that no hue is needed. */
export const stepStyles: Record<
  TimelineStep['kind'],
  { colour: 'accent' | 'ink' | 'inkSoft'; dash: number[] }
> = {
  dummy: { colour: 'accent', dash: [2, 2] },
  coat: { colour: 'accent', dash: [] },
  heat: { colour: 'ink', dash: [6, 2] },
  cool: { colour: 'ink', dash: [2, 4] },
  soak: { colour: 'ink', dash: [1, 2] },
  read: { colour: 'inkSoft', dash: [] },
}

/**
 * The sessions of a plan as bars over time against the booked hours; a second person has a bar of their own.
 *
 * @param options.start the time of day at which each begins, such as 09:30; null where nobody has said
 */
export function slotChart(options: { timeline: Timeline; start: string | null; theme: ChartTheme }): Chart {
  const { timeline, start, theme } = options
  const { minutes, rows } = slotBars(timeline)
  const clock = (minute: number) =>
    start === null ? plainNumber(Math.round(minute)) : clockAfter(start, Math.round(minute))
  const height = (row: number) => rows.length - 1 - row
  const thickness = Math.min(18, 90 / Math.max(1, rows.length))
  const booked = timeline.slotMinutes
  return {
    label: words.bar.label(timeline.sessions.length, rows.flatMap(({ steps }) => steps).length),
    config: configuration(
      [
        ...rows.flatMap(({ stretches }, row) =>
          stretches.map(({ kind, from, to }) =>
            line(
              theme,
              [from, to].map((x) => ({ x, y: height(row) })),
              {
                borderColor: theme[stepStyles[kind].colour],
                borderDash: stepStyles[kind].dash,
                borderWidth: thickness,
              },
            ),
          ),
        ),
        ...(booked === null
          ? []
          : [
              line(
                theme,
                [-0.5, rows.length - 0.5].map((y) => ({ x: booked, y })),
                {
                  borderColor: theme.outside,
                  borderWidth: 3,
                  order: 0,
                },
              ),
            ]),
      ],
      chartOptions(theme, {
        x: { title: start === null ? words.bar.minutes : words.bar.clock, min: 0, max: minutes, tick: clock },
        y: {
          title: '',
          min: -0.5,
          max: rows.length - 0.5,
          names: rows.map(({ name }, row) => ({ at: height(row), name })),
        },
      }),
    ),
    table: {
      columns: words.bar.columns(start === null),
      rows: rows.flatMap(({ name, steps }) =>
        steps.map(({ kind, run, from, to, temperature }) => [
          name,
          words.bar.steps[kind],
          run === null ? '–' : String(run),
          clock(from),
          clock(to),
          plainNumber(Math.round(10 * (to - from)) / 10),
          temperature === null ? '–' : plainNumber(temperature),
        ]),
      ),
    },
    crosshair: 'both',
    stops: rows.flatMap(({ name, steps }, row) =>
      steps.map(({ kind, run, from, to }) => ({
        x: (from + to) / 2,
        y: height(row),
        words: words.bar.stop({
          row: name,
          step: words.bar.steps[kind],
          run,
          from: clock(from),
          to: clock(to),
        }),
      })),
    ),
  }
}
