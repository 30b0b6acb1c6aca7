import { contours } from 'd3-contour'

/** A grid of values, row by row from low y, with the ranges of its two factors. */
export type Surface = {
  x: { name: string; unit: string; low: number; high: number }
  y: { name: string; unit: string; low: number; high: number }
  columns: number
  rows: number
  values: number[]
}

type Ring = [x: number, y: number][]

/** All of the surface that lies at or above a level, as polygons (outer ring, then holes) in factor units. */
export type ContourBand = { level: number; polygons: Ring[][] }

/**
 * Polygons of the surface at or above each level. Sample (i, j) of the grid stands in the middle of its
 * cell, at (i + 0.5, j + 0.5); the polygons reach half a cell beyond the outer samples, to be clipped.
 */
export function contourBands(surface: Surface, levels: number[]): ContourBand[] {
  const { columns, rows, x, y } = surface
  const acrossX = (grid: number) => x.low + ((grid - 0.5) / (columns - 1)) * (x.high - x.low)
  const acrossY = (grid: number) => y.low + ((grid - 0.5) / (rows - 1)) * (y.high - y.low)
  return contours()
    .size([columns, rows])
    .thresholds(levels)(surface.values)
    .map((shape) => ({
      level: shape.value,
      polygons: shape.coordinates.map((polygon) =>
        polygon.map((ring) => ring.map(([gx, gy]) => [acrossX(gx!), acrossY(gy!)] as [number, number])),
      ),
    }))
}
