import { plainNumber } from '../charts/format.ts'
import { beadWidthMm, usualBead } from './edge-bead.ts'
import { beyondEdge, fromEdge, type Substrate } from './substrate.ts'

/**
 * Says that measured sites lie where an edge bead usually stands, with what it usually adds there and what it is
 * compared with; null where none does. Sites beyond the edge exclusion do not count.
 *
 * @param places of the sites, mm from the centre
 * @param limit the study's limit of the non-uniformity, %
 */
export function beadWarning(
  substrate: Substrate,
  places: readonly { x: number; y: number }[],
  limit: number | null,
): string | null {
  const measured = places.filter((place) => beyondEdge(substrate, place) === null)
  const near = measured.map((place) => fromEdge(substrate, place)).filter((mm) => mm < beadWidthMm - 1e-6)
  if (near.length === 0) return null
  const nearest = near.reduce((least, mm) => Math.min(least, mm))
  const against = limit === null ? '' : `, against a limit of ${plainNumber(limit)} % for the non-uniformity`
  return (
    `${near.length} of ${measured.length} sites ${near.length === 1 ? 'lies' : 'lie'} less than ${beadWidthMm} mm from the edge, the nearest ` +
    `${plainNumber(Number(nearest.toFixed(1)))} mm. There an edge bead usually adds ` +
    `${plainNumber(100 * usualBead(nearest), 2)} % to the film (common practice, no source)${against}. ` +
    `An edge exclusion of ${beadWidthMm} mm keeps clear of it.`
  )
}
