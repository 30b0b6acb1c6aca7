import { fixed, plainNumber } from '../charts/format.ts'
import type { Study } from '../contract/things.ts'

/**
 * Where a substrate ends: a round one of a diameter unless its shape is said, else a rectangle of two sides, mm. The
 * centre is the origin, x points to the right, y up; flat or notch lie at the bottom and are not counted as edge.
 */
export type Outline = Pick<Study, 'diameterMm'> &
  Partial<Pick<Study, 'substrateShape' | 'widthMm' | 'heightMm'>>
/** An outline, and how much along its edge is not measured, mm. */
export type Substrate = Outline & Pick<Study, 'edgeExclusionMm'>
/** What of a substrate is measured, about its centre: a disc or a rectangle, mm. */
export type MeasuredArea = { radius: number } | { halfWidth: number; halfHeight: number }

type Place = { x: number; y: number }

/** A site on the edge exclusion counts as within it, whatever rounding did to its coordinates, mm. */
const edgeTolerance = 1e-6

/** What of a study says where its substrate ends and how much of it is measured. */
export function substrateOf(study: Required<Substrate>): Required<Substrate> {
  const { substrateShape, diameterMm, widthMm, heightMm, edgeExclusionMm } = study
  return { substrateShape, diameterMm, widthMm, heightMm, edgeExclusionMm }
}

/** Width and height of a rectangle; null of a round substrate. */
export function sidesOf({ substrateShape, widthMm, heightMm }: Outline): [number, number] | null {
  return substrateShape === 'rectangle' && widthMm != null && heightMm != null ? [widthMm, heightMm] : null
}

/** Width and height of what surrounds the substrate, mm. */
export function sizeOf(outline: Outline): [number, number] {
  return sidesOf(outline) ?? [outline.diameterMm, outline.diameterMm]
}

/** Radius of the circle around the substrate, mm: of a rectangle half its diagonal. */
export function radiusOf(outline: Outline): number {
  const sides = sidesOf(outline)
  return sides ? Math.hypot(...sides) / 2 : outline.diameterMm / 2
}

/** How far a place lies from the nearest edge, mm; below zero off the substrate. */
export function fromEdge(outline: Outline, { x, y }: Place): number {
  const sides = sidesOf(outline)
  return sides
    ? Math.min(sides[0] / 2 - Math.abs(x), sides[1] / 2 - Math.abs(y))
    : outline.diameterMm / 2 - Math.hypot(x, y)
}

/** The part of a substrate within its edge exclusion. */
export function measuredArea(substrate: Substrate): MeasuredArea {
  const sides = sidesOf(substrate)
  const { edgeExclusionMm } = substrate
  if (!sides) return { radius: substrate.diameterMm / 2 - edgeExclusionMm }
  return { halfWidth: sides[0] / 2 - edgeExclusionMm, halfHeight: sides[1] / 2 - edgeExclusionMm }
}

/** How far an area reaches from its centre in a direction, degrees counter-clockwise from +x; mm. */
export function reachAlong(area: MeasuredArea, degrees: number): number {
  if ('radius' in area) return area.radius
  const angle = (degrees * Math.PI) / 180
  return Math.min(area.halfWidth / Math.abs(Math.cos(angle)), area.halfHeight / Math.abs(Math.sin(angle)))
}

/** Whether the edge exclusion leaves something to measure. */
export function isMeasurable(substrate: Substrate): boolean {
  return Object.values(measuredArea(substrate)).every((length) => length > 0)
}

/** The size as it is written: `100 mm` or `20 × 30 mm`. */
export function sizeInWords(outline: Outline): string {
  return `${(sidesOf(outline) ?? [outline.diameterMm]).map(shortMm).join(' × ')} mm`
}

/** Why a site is not measured, as a sentence, or null where it is: it lies beyond the edge exclusion. */
export function beyondEdge(substrate: Substrate, place: Place): string | null {
  const distance = fromEdge(substrate, place)
  if (distance >= substrate.edgeExclusionMm - edgeTolerance) return null
  const area = measuredArea(substrate)
  if ('radius' in area)
    return `The site is ${fixed(Math.hypot(place.x, place.y), 1)} mm from the centre, beyond the edge exclusion at ${shortMm(area.radius)} mm.`
  return (
    `The site is ${fixed(Math.abs(distance), 1)} mm ${distance < 0 ? 'off' : 'from'} the edge, ` +
    `within the edge exclusion of ${shortMm(substrate.edgeExclusionMm)} mm.`
  )
}

const shortMm = (mm: number) => plainNumber(Number(mm.toFixed(2)))
