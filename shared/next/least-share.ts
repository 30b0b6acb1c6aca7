/**
 * The least share of all wafers that is in tolerance, with the asked confidence, where k of n were: the lower limit of
 * Clopper & Pearson (Biometrika 26, 1934). All of 3 show only 37 %, all of 5 only 55 % (one-sided, 95 %).
 */
export function leastShare(inside: number, of: number, confidence = 0.95): number {
  if (inside <= 0 || of <= 0) return 0
  if (inside >= of) return (1 - confidence) ** (1 / of)
  // The share at which as many inside, or more, have the chance 1 − confidence.
  let [low, high] = [0, 1]
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2
    if (upperBinomial(inside, of, middle) < 1 - confidence) low = middle
    else high = middle
  }
  return low
}

/** Chance of at least k successes out of n. */
function upperBinomial(k: number, n: number, p: number): number {
  let sum = 0
  let logChoose = 0
  for (let i = 0; i <= n; i++) {
    if (i > 0) logChoose += Math.log(n - i + 1) - Math.log(i)
    if (i >= k) sum += Math.exp(logChoose + i * Math.log(p) + (n - i) * Math.log1p(-p))
  }
  return sum
}
