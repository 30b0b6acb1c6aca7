/**
 * The outline of a substrate as an SVG path around the origin, in mm, y downwards, flat or notch down:
 * a flat of 0.325 times the diameter below 200 mm, a notch from there on (common practice, no source).
 */
export function waferOutline(diameterMm: number): string {
  const radius = diameterMm / 2
  if (diameterMm < 200) {
    const half = 0.1625 * diameterMm
    const height = Math.sqrt(radius * radius - half * half)
    return `M ${round(half)} ${round(height)} A ${radius} ${radius} 0 1 0 ${round(-half)} ${round(height)} Z`
  }
  const half = 1.5
  const height = Math.sqrt(radius * radius - half * half)
  return (
    `M ${half} ${round(height)} A ${radius} ${radius} 0 1 0 ${-half} ${round(height)} ` +
    `L 0 ${round(height - 2)} Z`
  )
}

function round(value: number): number {
  return Number(value.toFixed(3))
}

/** Position on the map of a value between the lowest and highest, 0 to 1; the middle where all are alike. */
export function shareBetween(value: number, low: number, high: number): number {
  return high > low ? (value - low) / (high - low) : 0.5
}
