import { driftChart } from '../../charts/drift-chart.ts'
import { list, soft } from '../blocks.ts'
import { figure } from '../drawing.ts'
import { type Html, html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { shownThickness } from '../shown.ts'

/** What the monitor runs of each kept recipe say. */
export function drift({ study, drift: watched, theme }: ReportData): (Html | null)[] {
  if (watched.length === 0) return [soft('No kept recipe is watched by monitor runs.')]
  return watched.flatMap(({ recipe, watched: { readings, events, thickness, now, retuned } }, i) => {
    const chart = driftChart({
      series: thickness,
      view: 'readings',
      readings,
      events,
      shown: shownThickness(study),
      theme,
    })
    return [
      html`<h3>${recipe.name}, version ${recipe.version}</h3>`,
      chart &&
        figure(chart, {
          name: `drift${i + 1}`,
          theme,
          words: 'Monitor runs in time, with the limits that the first of them set.',
        }),
      list([
        ...thickness.problems.map(({ message }) => message),
        ...thickness.chart.alarms.map(({ words }) => words),
        ...(thickness.chart.limits && thickness.chart.alarms.length === 0 ? ['No rule is broken.'] : []),
        ...thickness.words,
        ...thickness.changes.map(({ words }) => words),
        ...(thickness.trend ? [thickness.trend.words] : []),
        ...(now ? [now.words] : []),
        ...(retuned ? [retuned.words] : []),
      ]),
    ]
  })
}
