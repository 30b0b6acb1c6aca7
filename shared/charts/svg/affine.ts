/** A change of place in a plane: x′ = a·x + c·y + e, y′ = b·x + d·y + f, as SVG and the 2D canvas write it. */
export type Affine = readonly [a: number, b: number, c: number, d: number, e: number, f: number]

export const unmoved: Affine = [1, 0, 0, 1, 0, 0]

/** First `inner`, then `outer`. */
export function compose(outer: Affine, inner: Affine): Affine {
  const [a, b, c, d, e, f] = outer
  const [p, q, r, s, t, u] = inner
  return [a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f]
}

export function moved([a, b, c, d, e, f]: Affine, x: number, y: number): [number, number] {
  return [a * x + c * y + e, b * x + d * y + f]
}

/** How many times longer lengths become, on average over all directions. */
export function scaleOf([a, b, c, d]: Affine): number {
  return Math.sqrt(Math.abs(a * d - b * c))
}
