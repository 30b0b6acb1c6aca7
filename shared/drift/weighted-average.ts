/** One point of the exponentially weighted average with its limits. */
export type WeightedPoint = { value: number; lower: number; upper: number; outside: boolean }

/** The weight of the newest value, and how many deviations the limits lie from the centre. */
export type Weighting = { weight: number; width: number }

/** Where nothing changes an alarm every 238 values on average; a shift of 1 σ is found after 9 (computed in the tests). */
export const usualWeighting: Weighting = { weight: 0.2, width: 2.7 }

/**
 * The exponentially weighted average zₜ = λ·xₜ + (1 − λ)·zₜ₋₁ from the centre, with the limits that hold at each t
 * (NIST/SEMATECH e-Handbook, 6.3.2.4; Lucas & Saccucci, Technometrics 32, 1990): centre ± L·σ·√(λ/(2 − λ)·(1 − (1 − λ)²ᵗ)).
 */
export function weightedAverage(
  values: readonly number[],
  { centre, sigma }: { centre: number; sigma: number },
  { weight, width }: Weighting = usualWeighting,
): WeightedPoint[] {
  let average = centre
  return values.map((value, i) => {
    average = weight * value + (1 - weight) * average
    const spread = sigma * Math.sqrt((weight / (2 - weight)) * (1 - (1 - weight) ** (2 * (i + 1))))
    const [lower, upper] = [centre - width * spread, centre + width * spread]
    return { value: average, lower, upper, outside: average < lower || average > upper }
  })
}
