/**
 * How many independent values the residuals are worth: n / τ with τ = 1 + 2 Σ ρ(k), the autocorrelations summed up to
 * the first that is not positive. Neighbouring points of a trace see the same roughness, so that ten thousand of them
 * may say no more than a hundred. (The integrated autocorrelation time of stationary series; from memory of
 * Priestley, Spectral Analysis and Time Series, 1981, section 5.3.)
 *
 * @param runs residuals about zero, in order of position within each region; a lag never reaches across two regions
 * @returns between 1 and the count of residuals
 */
export function effectiveNumber(runs: readonly Float64Array[]): number {
  const n = runs.reduce((sum, run) => sum + run.length, 0)
  const longest = runs.reduce((most, run) => Math.max(most, run.length), 0)
  const power = meanProduct(runs, 0)
  if (!(power > 0)) return n
  let time = 1
  for (let lag = 1; lag < longest; lag++) {
    const correlation = meanProduct(runs, lag) / power
    if (correlation <= 0) break
    time += 2 * correlation
  }
  return Math.max(1, n / time)
}

function meanProduct(runs: readonly Float64Array[], lag: number): number {
  let sum = 0
  let count = 0
  for (const run of runs) {
    for (let i = lag; i < run.length; i++) sum += (run[i] as number) * (run[i - lag] as number)
    count += Math.max(0, run.length - lag)
  }
  return count > 0 ? sum / count : 0
}
