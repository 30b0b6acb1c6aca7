/**
 * Area under the standard normal curve left of z, by the series Φ(z) = ½ + φ(z)·Σ z^(2k+1)/(1·3·5…(2k+1))
 * (Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 26.2.11). For plots: |z| ≤ 5.
 */
function normalArea(z: number): number {
  let term = z
  let sum = z
  for (let k = 1; k < 200 && Math.abs(term) > 1e-17; k++) {
    term *= (z * z) / (2 * k + 1)
    sum += term
  }
  return 0.5 + sum * density(z)
}

const density = (z: number) => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)

/** The z that has this share of a normal distribution below it; shares from 1e-5 to 1 − 1e-5. */
export function normalPlace(share: number): number {
  let z = 0
  for (let k = 0; k < 60; k++) {
    const step = (normalArea(z) - share) / density(z)
    z -= Math.max(-1, Math.min(1, step))
    if (Math.abs(step) < 1e-13) break
  }
  return z
}

/**
 * Where each of the values would lie if they were a sorted normal sample: Φ⁻¹((rank − 3/8) / (n + 1/4))
 * (Blom, Statistical Estimates and Transformed Beta-Variables, 1958). In the order of the values given.
 */
export function normalScores(values: number[]): number[] {
  const order = values.map((_, index) => index).sort((a, b) => values[a]! - values[b]!)
  const scores = new Array<number>(values.length)
  order.forEach((index, rank) => {
    scores[index] = normalPlace((rank + 1 - 0.375) / (values.length + 0.25))
  })
  return scores
}
