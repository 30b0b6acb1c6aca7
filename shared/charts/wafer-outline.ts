import { type MeasuredArea, type Outline, sidesOf } from '../film/substrate.ts'

/**
 * The outline of a substrate as an SVG path around the origin, in mm, y downwards, with its flat or notch down: a flat
 * of 0.325 times the diameter; a notch that is drawn larger than it is, to be seen (common practice, no source).
 */
export function waferOutline(outline: Outline): string {
  const sides = sidesOf(outline)
  if (sides) return areaOutline({ halfWidth: sides[0] / 2, halfHeight: sides[1] / 2 })
  const { diameterMm, substrateShape } = outline
  const radius = diameterMm / 2
  const half = substrateShape === 'notch' ? 0.012 * diameterMm : 0.1625 * diameterMm
  const height = Math.sqrt(radius * radius - half * half)
  const arc = `M ${round(half)} ${round(height)} A ${radius} ${radius} 0 1 0 ${round(-half)} ${round(height)}`
  return substrateShape === 'notch' ? `${arc} L 0 ${round(height - 0.02 * diameterMm)} Z` : `${arc} Z`
}

/** The measured part, or any other disc or rectangle about the centre, as such a path. */
export function areaOutline(area: MeasuredArea): string {
  if (!('radius' in area)) {
    const [x, y] = [area.halfWidth, area.halfHeight]
    return `M ${x} ${y} H ${-x} V ${-y} H ${x} Z`
  }
  const r = area.radius
  return `M ${r} 0 A ${r} ${r} 0 1 0 ${-r} 0 A ${r} ${r} 0 1 0 ${r} 0 Z`
}

function round(value: number): number {
  return Number(value.toFixed(3))
}

/** Position on the map of a value between the lowest and highest, 0 to 1; the middle where all are alike. */
export function shareBetween(value: number, low: number, high: number): number {
  return high > low ? (value - low) / (high - low) : 0.5
}
