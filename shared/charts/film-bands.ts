import { filmSurface } from '../film/film-surface.ts'
import { type MeasuredArea, type Outline, sidesOf, sizeOf } from '../film/substrate.ts'
import { type ColourScale, css } from './colour-scale.ts'
import { contourBands } from './contour-bands.ts'
import { type ContourLabel, contourLabels } from './contour-labels.ts'
import { roundLevels } from './round-levels.ts'
import type { MapSite } from './wafer-marks.ts'
import { areaOutline, shareBetween, waferOutline } from './wafer-outline.ts'

/** With fewer readings a surface would show their places and nothing else. */
export const enoughForSurface = 4

const bandCount = 12

/** The film between the sites as filled bands, and what lies beyond the outermost reading, as SVG paths in mm, y down. */
export type FilmBands = {
  bands: { level: number; fill: string; path: string }[]
  beyond: string
  /** Levels to be written on the lines between the bands. */
  labels: ContourLabel[]
}

/**
 * Bands of a map whose colours run over `span`.
 *
 * @param options.columns samples along a side of the grid between the readings
 */
export function filmBands(
  sites: readonly MapSite[],
  options: { outline: Outline; span: readonly [number, number]; colour: ColourScale; columns: number },
): FilmBands {
  const { outline, colour, columns } = options
  const [low, high] = options.span
  const read = sites.flatMap(({ xMm, yMm, value, excluded }) =>
    value === null || excluded !== null ? [] : [{ xMm, yMm, value }],
  )
  const size = sizeOf(outline)
  const side = (length: number) => ({ name: '', unit: 'mm', low: -length / 2, high: length / 2 })
  const measured = measuredBy(read, outline)
  const values = filmSurface(read, size, columns)
  const levels = [low, ...roundLevels(low, high, bandCount)]
  const drawn = contourBands({ x: side(size[0]), y: side(size[1]), columns, rows: columns, values }, levels)
  return {
    bands: drawn.map(({ level, polygons }, k) => ({
      level,
      fill: css(colour(shareBetween((level + (levels[k + 1] ?? high)) / 2, low, high))),
      path: polygons
        .flatMap((rings) =>
          rings.map((ring) => `M ${ring.map(([x, y]) => `${short(x)} ${short(-y)}`).join(' L ')} Z`),
        )
        .join(' '),
    })),
    beyond: `${waferOutline(outline)} ${areaOutline(measured)}`,
    labels: contourLabels(drawn.slice(1), { sites: read, within: measured, size: Math.max(...size) }),
  }
}

/** What the readings enclose: out to the farthest. */
function measuredBy(read: readonly { xMm: number; yMm: number }[], outline: Outline): MeasuredArea {
  const farthest = (of: (place: { xMm: number; yMm: number }) => number) =>
    read.reduce((most, place) => Math.max(most, of(place)), 0)
  return sidesOf(outline)
    ? { halfWidth: farthest(({ xMm }) => Math.abs(xMm)), halfHeight: farthest(({ yMm }) => Math.abs(yMm)) }
    : { radius: farthest(({ xMm, yMm }) => Math.hypot(xMm, yMm)) }
}

const short = (mm: number) => Number(mm.toFixed(2))
