import { type Chart, chartOptions, configuration, crowd, marks, type Point } from './chart.ts'
import { contourBands, type Surface } from './contour-bands.ts'
import { contourLayer } from './contour-layer.ts'
import { decimalsFor, fixed, percent, plainNumber, quantity, type Shown, withUnit } from './format.ts'
import type { Tolerance } from './guides.ts'
import { roundLevels } from './round-levels.ts'
import type { ChartTheme } from './theme.ts'

/** A run on the map of two factors. */
export type PlacedRun = { code: string; x: number; y: number; value: number | null; excluded: string | null }

/** What the colours of a map mean: ends and round values between, in the shown unit. */
export type ColourKey = { low: number; high: number; ticks: number[]; decimals: number; unit: string }

/** The fitted surface over two factors as filled contours with the runs and the tolerance limits on it. */
export function contourChart(options: {
  surface: Surface
  runs: PlacedRun[]
  shown: Shown
  tolerance: Tolerance | null
  at: { x: number; y: number } | null
  /** The chance to be in tolerance over the same factors, and the chance at which its region is outlined. */
  chances: { map: Surface; asked: number } | null
  /** The recommended recipe. */
  recipe: Point | null
  theme: ChartTheme
}): Chart {
  const { shown, theme, runs } = options
  const surface = { ...options.surface, values: options.surface.values.map(shown.of) }
  const { x, y } = surface
  const { low, high, ticks, decimals } = contourKey(options)
  const share = (value: number) => (high > low ? (value - low) / (high - low) : 0.5)
  // The lowest band starts at the lowest value, so that the whole plot is filled.
  const bounds = [low, ...ticks]
  const levels = contourBands(surface, bounds).map((band, index) => ({
    band,
    share: share((band.level + (bounds[index + 1] ?? high)) / 2),
    words: index === 0 ? '' : fixed(band.level, decimals),
  }))
  const limits = options.tolerance === null ? [] : limitLevels(options.tolerance, shown)
  const region = regionOf(options.chances)
  const samples = samplesOf(surface)
  const drawnLimits = limits.filter(({ level }) => level > low && level < high)
  return {
    label:
      `${shown.name} over ${x.name} and ${y.name} as contours from ${fixed(low, decimals)} to ` +
      `${quantity(fixed(high, decimals), shown.unit)}, with ${runs.length} runs.`,
    config: configuration(
      [
        marks(
          theme,
          runs.filter((run) => run.excluded === null),
          { pointBackgroundColor: theme.ink, pointBorderColor: theme.ground, pointRadius: 6 },
        ),
        marks(
          theme,
          runs.filter((run) => run.excluded !== null),
          { pointBackgroundColor: theme.ground, pointBorderColor: theme.ink, pointRadius: 6 },
        ),
        ...ringed(theme, options.recipe),
        ...cross(theme, options.at),
      ],
      chartOptions(theme, {
        x: { title: withUnit(x.name, x.unit), min: x.low, max: x.high },
        y: { title: withUnit(y.name, y.unit), min: y.low, max: y.high },
      }),
      [
        contourLayer({
          theme,
          levels,
          keepClear: [options.at, options.recipe, ...(runs.length < crowd ? runs : [])].filter(
            (place) => place !== null,
          ),
          region,
          limits: drawnLimits.map(({ level, words }) => ({
            band: contourBands(surface, [level])[0]!,
            words,
          })),
        }),
      ],
    ),
    table: {
      columns: [
        'drawn',
        withUnit(x.name, x.unit),
        withUnit(y.name, y.unit),
        withUnit(shown.name, shown.unit),
      ],
      rows: [
        ...runs.map((run) => [
          run.excluded === null ? run.code : `${run.code} (left out)`,
          ...placeWords(run),
          run.value === null ? '–' : fixed(shown.of(run.value), decimals + 1),
        ]),
        ...(options.at ? [['working point', ...placeWords(options.at), '']] : []),
        ...(options.recipe ? [['recipe', ...placeWords(options.recipe), '']] : []),
        ...(region ? [['region', '', '', region.words]] : []),
        ...drawnLimits.map(({ words }) => ['limit', '', '', words]),
        ...levels.flatMap(({ words }) => (words === '' ? [] : [['contour line', '', '', words]])),
        ...samples.map((sample) => ['fit', ...placeWords(sample), fixed(sample.value, decimals + 1)]),
      ],
    },
    crosshair: 'both',
    stops: samples.map((sample) => ({
      x: sample.x,
      y: sample.y,
      words: stopWords(sample, surface, quantity(fixed(sample.value, decimals + 1), shown.unit)),
    })),
  }
}

/** The outline of the region with the asked chance; null where the map holds none. */
function regionOf(chances: { map: Surface; asked: number } | null) {
  const band = chances && contourBands(chances.map, [chances.asked])[0]
  return band && band.polygons.length > 0
    ? { band, words: `${percent(chances.asked, 0)} in tolerance` }
    : null
}

/** The recipe as two rings, so that it is told from runs and from the working point by its shape. */
function ringed(theme: ChartTheme, at: Point | null) {
  const ring = (radius: number, colour: string, width: number) =>
    marks(theme, at ? [at] : [], {
      order: -1,
      pointRadius: radius,
      pointBackgroundColor: 'transparent',
      pointBorderColor: colour,
      pointBorderWidth: width,
    })
  return [ring(11, theme.ink, 2), ring(11, theme.ground, 5), ring(4, theme.ink, 2), ring(4, theme.ground, 5)]
}

/** What the colours of the contours mean. */
export function contourKey({ surface, shown }: { surface: Surface; shown: Shown }): ColourKey {
  const values = surface.values.map(shown.of)
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const ticks = roundLevels(low, high)
  const decimals = ticks.length > 1 ? Math.max(0, decimalsFor((ticks[1]! - ticks[0]!) * 10)) : 1
  return { low, high, ticks, decimals, unit: shown.unit }
}

/** The working point as a cross with a rim, so that it shows on any colour and over a run. */
function cross(theme: ChartTheme, at: Point | null) {
  const arms = (colour: string, width: number) =>
    marks(theme, at ? [at] : [], {
      order: -1,
      pointStyle: 'crossRot',
      pointRadius: 15,
      pointBorderWidth: width,
      pointBorderColor: colour,
    })
  return [arms(theme.ink, 2.5), arms(theme.ground, 6)]
}

function limitLevels(at: Tolerance, shown: Shown) {
  const target = shown.of(at.target)
  if (at.tolerance === null) return [{ level: target, words: plainNumber(target) }]
  const tolerance = shown.of(at.tolerance)
  return [target - tolerance, target + tolerance].map((level) => ({ level, words: plainNumber(level) }))
}

const placeWords = ({ x, y }: Point) => [plainNumber(x), plainNumber(y)]

/** Every second sample of the grid, so that the arrow keys cross the map in a bearable number of steps. */
function samplesOf({ x, y, columns, rows, values }: Surface): (Point & { value: number })[] {
  const samples = []
  const every = Math.max(1, Math.floor(columns / 16))
  for (let i = 0; i < columns; i += every)
    for (let j = 0; j < rows; j += every)
      samples.push({
        x: x.low + (i / (columns - 1)) * (x.high - x.low),
        y: y.low + (j / (rows - 1)) * (y.high - y.low),
        value: values[j * columns + i] as number,
      })
  return samples
}

function stopWords(at: Point, { x, y }: Surface, value: string): string {
  const [atX, atY] = placeWords(at) as [string, string]
  return `${x.name} ${quantity(atX, x.unit)}, ${y.name} ${quantity(atY, y.unit)}: ${value}`
}
