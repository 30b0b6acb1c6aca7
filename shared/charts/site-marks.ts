type Place = { xMm: number; yMm: number }

/** How large the sites of a map are drawn, and which of them are written on. */
export type SiteMarks = {
  /** mm. */
  radius: number
  /** Whether the value of a site fits into its mark. */
  values: boolean
  /** Whether a site's number fits beside its neighbours; `index` counts from 0. */
  isNumbered(index: number): boolean
}

/** Radius of a mark that has room, and the least radii that hold a value and a number, over the map's longer side. */
const roomy = 0.085
const holdsValue = 0.06
const holdsNumber = 0.025
/** The most sites whose values still can be read when written into their marks. */
const mostWritten = 25
/** Sites beyond which the nearest two are not looked for. */
const mostCompared = 400

/**
 * Marks that do not cover each other. Where they are too small for every number, the first site, the last and each
 * fifth are numbered, of a crowd none.
 *
 * @param size the longer side of the substrate, mm
 */
export function siteMarks(sites: readonly Place[], size: number): SiteMarks {
  const count = sites.length
  const room = count <= mostCompared ? 0.48 * nearestTwo(sites) : size / (2 * Math.sqrt(count))
  const radius = Math.min(roomy * size, room)
  const few = count <= mostWritten
  return {
    radius,
    values: few && radius >= holdsValue * size,
    isNumbered: (index) =>
      radius >= holdsNumber * size || (few && (index === 0 || index === count - 1 || index % 5 === 4)),
  }
}

/** Distance of the two sites that lie nearest to each other; sites at one place are one. */
function nearestTwo(sites: readonly Place[]): number {
  let least = Number.POSITIVE_INFINITY
  for (const [i, a] of sites.entries())
    for (let k = 0; k < i; k++) {
      const b = sites[k] as Place
      const square = (a.xMm - b.xMm) ** 2 + (a.yMm - b.yMm) ** 2
      if (square > 1e-6 && square < least) least = square
    }
  return Math.sqrt(least)
}
