import { plainNumber } from '../charts/format.ts'
import { lineMaps, ringMaps, squareMaps } from '../contract/choices.ts'
import type { OwnSites, SiteMapName, Study } from '../contract/things.ts'
import { isMeasurable, measuredArea, reachAlong, type Substrate } from './substrate.ts'

/** One place on the substrate: flat or notch down, x to the right, y up, origin in the centre. */
export type Site = { site: number; xMm: number; yMm: number }

/** What of a study says where its substrate is read. */
export type MappedSubstrate = Substrate &
  Pick<Study, 'siteMap'> &
  Partial<Pick<Study, 'lineDirection' | 'ownSites'>>

/** Sites on one circle: their count, its radius over the outermost one's, the angle of the first in degrees. */
type Ring = { count: number; radius: number; turn: number }
type Place = { x: number; y: number }

const ring = (count: number, radius: number, turn = 0): Ring => ({ count, radius, turn })

/**
 * The rings around the centre site. The counts are common practice, no source; rings that hold as many sites as
 * the next one are turned by half a step so that no two sites lie on one spoke.
 */
const ringsOf: Partial<Record<SiteMapName, readonly Ring[]>> = {
  '5': [ring(4, 1)],
  '9': [ring(4, 1 / 2, 45), ring(4, 1)],
  '9 ring': [ring(8, 1)],
  '13': [ring(4, 1 / 2, 45), ring(8, 1)],
  '17': [ring(8, 1 / 2, 22.5), ring(8, 1)],
  '25': [ring(8, 1 / 2), ring(16, 1)],
  '49': [ring(8, 1 / 3), ring(16, 2 / 3), ring(24, 1)],
}

/** Whole multiples of 1e-9 mm, so that 0 is 0 rather than 3e-15. */
const rounded = (mm: number) => Math.round(mm * 1e9) / 1e9 + 0

/** The sites at which the films of a study are read. */
export function studySites(study: MappedSubstrate): Site[] {
  return siteMap({ ...study, name: study.siteMap })
}

/** The map by its name, one's own by that which it was given. */
export const mapName = ({ siteMap: name, ownSites }: MappedSubstrate): string =>
  name === 'own' && ownSites ? `‘${ownSites.name}’` : name

/**
 * The sites of a map; the outermost lie on the edge exclusion.
 *
 * Rings are numbered from 1 in the centre outwards, each counter-clockwise from +x; on a rectangle they are stretched
 * with its sides. The name of a square says how many sites are read: none is left out, and on a round substrate the
 * grid is drawn in until its corners lie on the edge exclusion. It is numbered as one reads, from the upper left row
 * by row. A line goes through the centre from edge to edge, evenly spaced, and is numbered along its direction. One's
 * own sites are as they were given, none where the study has no map of its own.
 *
 * @throws RangeError where the edge exclusion leaves nothing to measure: callers check what people enter
 */
export function siteMap(
  options: Substrate & { name: SiteMapName; lineDirection?: number; ownSites?: OwnSites | null },
): Site[] {
  const { name } = options
  if (!isMeasurable(options))
    throw new RangeError(
      `An edge exclusion of ${plainNumber(options.edgeExclusionMm)} mm leaves nothing of the substrate.`,
    )
  if (name === 'own') return options.ownSites?.sites ?? []
  return placesOf(name, options).map(({ x, y }, i) => ({ site: i + 1, xMm: rounded(x), yMm: rounded(y) }))
}

function placesOf(name: SiteMapName, options: Parameters<typeof siteMap>[0]): Place[] {
  const area = measuredArea(options)
  const isDisc = 'radius' in area
  const [halfWidth, halfHeight] = isDisc ? [area.radius, area.radius] : [area.halfWidth, area.halfHeight]
  const rings = ringsOf[name]
  if (rings) return onRings(rings).map(({ x, y }) => ({ x: halfWidth * x, y: halfHeight * y }))
  const count = siteCount(name)
  if (name.endsWith('line')) {
    const { lineDirection = 0 } = options
    const angle = (lineDirection * Math.PI) / 180
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)]
    const reach = reachAlong(area, lineDirection)
    return evenly(count).map((share) => ({ x: share * reach * cos, y: share * reach * sin }))
  }
  const drawnIn = isDisc ? Math.SQRT1_2 : 1
  const steps = evenly(Math.sqrt(count))
  return [...steps]
    .reverse()
    .flatMap((up) => steps.map((right) => ({ x: drawnIn * halfWidth * right, y: drawnIn * halfHeight * up })))
}

/** Places within the unit circle: the centre and its rings. */
function onRings(rings: readonly Ring[]): Place[] {
  return [
    { x: 0, y: 0 },
    ...rings.flatMap(({ count, radius, turn }) =>
      Array.from({ length: count }, (_, k) => {
        const angle = ((turn + (360 * k) / count) * Math.PI) / 180
        return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) }
      }),
    ),
  ]
}

/** From −1 to 1 in equal steps. */
const evenly = (count: number) => Array.from({ length: count }, (_, i) => (2 * i) / (count - 1) - 1)

/** How many sites a map has by its name. */
const siteCount = (name: SiteMapName) => Number.parseInt(name, 10)

/** The next smaller map of the same kind with both counts; null where there is none. */
export function fewerSites(name: SiteMapName): { map: SiteMapName; sites: number; now: number } | null {
  const kinds: (readonly SiteMapName[])[] = [ringMaps, squareMaps, lineMaps]
  const kind = kinds.find((one) => one.includes(name))
  const now = siteCount(name)
  const map = kind?.filter((other) => siteCount(other) < now).at(-1)
  return map === undefined ? null : { map, sites: siteCount(map), now }
}
