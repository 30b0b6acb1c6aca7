/** Width of the rim in which an edge bead stands, mm; common practice, no source. */
export const beadWidthMm = 5

/**
 * What an edge bead usually adds to the film, as a share of its thickness: 0.03 % at 6 mm from the edge, 0.3 % at 4,
 * 0.9 % at 3, 2.7 % at 2 and 8 % at 1 mm. Common practice, no source; it depends on the resist and on the speed.
 *
 * @param fromEdgeMm distance from the nearest edge
 */
export const usualBead = (fromEdgeMm: number): number => 0.25 * Math.exp(-fromEdgeMm / 0.9)
