type Reading = { xMm: number; yMm: number; value: number }

/**
 * Values between the readings on a grid over the substrate, row by row from low y: means weighted by the
 * inverse cube of the distance (Shepard, Proc. 23rd ACM National Conference, 1968). They go through the readings and
 * never beyond the lowest and the highest of them, so that a map shows no film that nobody has read.
 *
 * @param readings at least one; positions in mm from the centre
 * @param size width and height of the grid, mm
 * @returns columns × columns values
 */
export function filmSurface(
  readings: readonly Reading[],
  [width, height]: readonly [number, number],
  columns: number,
): number[] {
  const at = (i: number, side: number) => side * (i / (columns - 1) - 0.5)
  return Array.from({ length: columns * columns }, (_, k) =>
    valueAt(readings, at(k % columns, width), at(Math.floor(k / columns), height), width),
  )
}

function valueAt(readings: readonly Reading[], x: number, y: number, scale: number): number {
  let sum = 0
  let weights = 0
  for (const { xMm, yMm, value } of readings) {
    const [across, up] = [(x - xMm) / scale, (y - yMm) / scale]
    const square = across * across + up * up
    if (square < 1e-12) return value
    // The third power: readings close by outweigh those around the map.
    const weight = 1 / (square * Math.sqrt(square))
    sum += weight * value
    weights += weight
  }
  return sum / weights
}
