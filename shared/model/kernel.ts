/** How the surface at two settings goes together, by their distance in lengths. */
export type KernelKind = 'matern52' | 'squaredExponential'

const root5 = Math.sqrt(5)

/**
 * Correlation at the squared distance Σ (Δ/length)²: the squared exponential, or Matérn's with smoothness 5/2
 * (Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006, section 4.2).
 */
export function correlation(kind: KernelKind, square: number): number {
  if (kind === 'squaredExponential') return Math.exp(-square / 2)
  const r = root5 * Math.sqrt(square)
  return (1 + r + (r * r) / 3) * Math.exp(-r)
}

/** The slope of the correlation by ln(length), divided by (Δ/length)² of that factor. */
export function correlationSlope(kind: KernelKind, square: number): number {
  if (kind === 'squaredExponential') return Math.exp(-square / 2)
  const r = root5 * Math.sqrt(square)
  return (5 / 3) * (1 + r) * Math.exp(-r)
}
