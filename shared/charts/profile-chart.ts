import type { FilmShape } from '../contract/results/film.ts'
import { shapeColumns } from '../film/shape.ts'
import { type Chart, chartOptions, configuration, extent, line, marks, type Point } from './chart.ts'
import { fixed, quantity, withUnit } from './format.ts'
import type { ChartTheme } from './theme.ts'

/** A reading at its place on the wafer, in the shown unit, mm from the centre. */
export type ProfileSite = { name: string; xMm: number; yMm: number; value: number; excluded: string | null }

const samples = 60

/**
 * The film from the centre to the edge: each reading at its distance from the centre, and what bowl and ring make of
 * it. The wedge turns about the centre, so that it is drawn as the two lines between which it moves the film.
 */
export function profileChart(options: {
  sites: readonly ProfileSite[]
  shape: FilmShape
  radiusMm: number
  unit: string
  decimals: number
  theme: ChartTheme
}): Chart {
  const { sites, shape, radiusMm, theme } = options
  const counted = sites.filter(({ excluded }) => excluded === null)
  const constant = fittedConstant(counted, shape, radiusMm)
  const relative = (rho: number) => 1 + shapeAt({ ...shape, wedgeX: 0, wedgeY: 0 }, rho, 0)
  const profile = (wedge: number): Point[] =>
    constant === null
      ? []
      : Array.from({ length: samples + 1 }, (_, k) => {
          const rho = k / samples
          return { x: rho * radiusMm, y: constant * (relative(rho) + wedge * rho) }
        })
  const wedge = shape.wedge ?? 0
  const spot = ({ xMm, yMm, value }: ProfileSite) => ({ x: Math.hypot(xMm, yMm), y: value })
  const [low, high] = extent([
    ...sites.map(({ value }) => value),
    ...profile(wedge).map(({ y }) => y),
    ...profile(-wedge).map(({ y }) => y),
  ])
  const radius = (site: ProfileSite) => fixed(spot(site).x, 1)
  const reading = (site: ProfileSite) => fixed(site.value, options.decimals)
  /** Every tenth of the radius is enough to read. */
  const fittedRows = (name: string, of: number) =>
    profile(of)
      .filter((_, k) => k % (samples / 10) === 0)
      .map(({ x, y }) => [name, fixed(x, 1), fixed(y, options.decimals)])
  const inOrder = [...sites].sort((a, b) => spot(a).x - spot(b).x)
  const edge = { borderColor: theme.inkSoft, borderWidth: 1, borderDash: [4, 3] }
  return {
    label:
      `Thickness against the distance from the centre at ${counted.length} sites` +
      `${constant === null ? '' : ', with bowl and ring fitted'}.`,
    config: configuration(
      [
        line(theme, profile(0)),
        ...(wedge > 0 ? [line(theme, profile(wedge), edge), line(theme, profile(-wedge), edge)] : []),
        marks(theme, counted.map(spot), { pointRadius: 4 }),
        marks(theme, sites.filter(({ excluded }) => excluded !== null).map(spot), {
          pointRadius: 4,
          pointBackgroundColor: theme.ground,
        }),
      ],
      chartOptions(theme, {
        x: { title: 'distance from the centre (mm)', min: 0, max: radiusMm },
        y: { title: withUnit('thickness', options.unit), min: low, max: high },
      }),
    ),
    table: {
      columns: ['site', 'distance from the centre (mm)', withUnit('thickness', options.unit)],
      rows: [
        ...inOrder.map((site) => [
          site.excluded === null ? site.name : `${site.name} (left out)`,
          radius(site),
          reading(site),
        ]),
        ...fittedRows('fit', 0),
        ...(wedge > 0
          ? [...fittedRows('fit, thick side', wedge), ...fittedRows('fit, thin side', -wedge)]
          : []),
      ],
    },
    crosshair: 'both',
    stops: inOrder.map((site) => ({
      ...spot(site),
      words: `${site.name}: ${quantity(reading(site), options.unit)} at ${radius(site)} mm`,
    })),
  }
}

/** What the shape adds at a place, as a share of the film; terms that are not known add nothing. */
function shapeAt({ bowl, ring, wedgeX, wedgeY }: FilmShape, u: number, v: number): number {
  const [, ofBowl, ofRing, ofX, ofY] = shapeColumns(u, v) as [number, number, number, number, number]
  return (bowl ?? 0) * ofBowl + (ring ?? 0) * ofRing + (wedgeX ?? 0) * ofX + (wedgeY ?? 0) * ofY
}

/** The constant of the fit, from its terms: least squares leaves residuals that sum to zero. Null without a shape. */
function fittedConstant(sites: readonly ProfileSite[], shape: FilmShape, radiusMm: number): number | null {
  if (sites.length === 0 || (shape.bowl === null && shape.ring === null && shape.wedge === null)) return null
  const shares = sites.map(({ xMm, yMm }) => 1 + shapeAt(shape, xMm / radiusMm, yMm / radiusMm))
  const sum = (values: number[]) => values.reduce((total, value) => total + value, 0)
  return sum(sites.map(({ value }) => value)) / sum(shares)
}
