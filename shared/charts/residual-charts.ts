import { type Chart, chartOptions, configuration, extent, line, marks } from './chart.ts'
import { fixed, significant, withUnit } from './format.ts'
import { levelGuide } from './guides.ts'
import { normalScores } from './normal-scores.ts'
import type { ChartTheme } from './theme.ts'

/** One run of a fit: fitted and residual as shown (see `axes`), its place in run order. */
export type ResidualRun = {
  code: string
  runOrder: number
  fitted: number
  residual: number
  studentized: number | null
}

/** What the numbers are called on the axes, such as `fitted thickness (nm)` and `residual (%)`. */
export type ResidualAxes = { fitted: string; residual: string; decimals: number }

type Inputs = { runs: ResidualRun[]; axes: ResidualAxes; theme: ChartTheme }

const zero = (theme: ChartTheme) => ({ annotation: { annotations: { zero: levelGuide(theme, 0) } } })

function scatter(
  options: Inputs & { label: string; title: string; places: number[]; guide: boolean },
): Chart {
  const { runs, axes, theme, places } = options
  const points = runs.map((run, k) => ({ x: places[k]!, y: run.residual }))
  const [low, high] = extent(
    points.map((point) => point.x),
    0.05,
  )
  const words = (run: ResidualRun) =>
    `${run.code}: residual ${fixed(run.residual, axes.decimals)}, ` +
    `studentized ${fixed(run.studentized, 2)}, fitted ${significant(run.fitted, 5)}`
  return {
    label: options.label,
    config: configuration(
      [marks(theme, points, { pointRadius: 4 })],
      chartOptions(
        theme,
        { x: { title: options.title, min: low, max: high }, y: { title: axes.residual } },
        options.guide ? { plugins: zero(theme) } : {},
      ),
    ),
    table: {
      columns: ['run', options.title, axes.residual],
      rows: runs.map((run, k) => [run.code, significant(places[k]!, 5), fixed(run.residual, axes.decimals)]),
    },
    crosshair: 'both',
    stops: runs
      .map((run, k) => ({ x: places[k]!, y: run.residual, words: words(run) }))
      .sort((a, b) => a.x - b.x),
  }
}

/** Residuals against fitted values: a funnel or a bend would show a wrong scale or a missing term. */
export function residualsAgainstFitted(inputs: Inputs): Chart {
  return scatter({
    ...inputs,
    label: `Residuals of ${inputs.runs.length} runs against their fitted values.`,
    title: inputs.axes.fitted,
    places: inputs.runs.map((run) => run.fitted),
    guide: true,
  })
}

/** Residuals in run order: a slope would show drift. */
export function residualsInRunOrder(inputs: Inputs): Chart {
  return scatter({
    ...inputs,
    label: `Residuals of ${inputs.runs.length} runs in run order.`,
    title: 'run order',
    places: inputs.runs.map((run) => run.runOrder),
    guide: true,
  })
}

/** Residuals against a factor, at the settings of the runs: a bend would show a missing square. */
export function residualsAgainstFactor(
  inputs: Inputs & { factor: string; unit: string; settings: (number | null)[] },
): Chart {
  const known = inputs.runs
    .map((run, k) => ({ run, at: inputs.settings[k] ?? null }))
    .filter(({ at }) => at !== null)
  return scatter({
    ...inputs,
    runs: known.map(({ run }) => run),
    label: `Residuals of ${known.length} runs against ${inputs.factor}.`,
    title: withUnit(inputs.factor, inputs.unit),
    places: known.map(({ at }) => at as number),
    guide: true,
  })
}

/** Residuals against normal scores with the line of a normal sample of the same spread through the quartiles. */
export function normalScoresChart(inputs: Inputs): Chart {
  const scores = normalScores(inputs.runs.map((run) => run.residual))
  const chart = scatter({
    ...inputs,
    label: `Residuals of ${inputs.runs.length} runs against normal scores; a straight line would be normal.`,
    title: 'normal score',
    places: scores,
    guide: false,
  })
  const through = quartileLine(
    scores,
    inputs.runs.map((run) => run.residual),
  )
  if (!through) return chart
  chart.config.data.datasets.push(line(inputs.theme, through, { borderWidth: 1 }))
  const ends = through.map(({ x, y }) => ['line', significant(x, 5), fixed(y, inputs.axes.decimals)])
  return { ...chart, table: { ...chart.table, rows: [...chart.table.rows, ...ends] } }
}

/** The straight line through the lower and upper quartile of both; null where there is too little to draw. */
function quartileLine(scores: number[], residuals: number[]): { x: number; y: number }[] | null {
  if (scores.length < 4) return null
  const [x1, x3] = quartiles(scores)
  const [y1, y3] = quartiles(residuals)
  if (x3 === x1) return null
  const slope = (y3 - y1) / (x3 - x1)
  const ends = [scores.reduce((a, b) => Math.min(a, b)), scores.reduce((a, b) => Math.max(a, b))]
  return ends.map((x) => ({ x, y: y1 + slope * (x - x1) }))
}

/** Lower and upper quartile, linear between the sorted values at (n − 1)·p. */
function quartiles(values: number[]): [number, number] {
  const sorted = [...values].sort((a, b) => a - b)
  const at = (p: number) => {
    const place = (sorted.length - 1) * p
    const below = Math.floor(place)
    const next = sorted[Math.min(below + 1, sorted.length - 1)]!
    return sorted[below]! + (next - sorted[below]!) * (place - below)
  }
  return [at(0.25), at(0.75)]
}
