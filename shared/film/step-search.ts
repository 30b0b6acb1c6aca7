import type { TracePoint } from './step-height.ts'

/** Medians of neighbouring points on which the search runs, so that long traces take no longer and spikes fall out. */
const searchBins = 160
/** Fewest bins on each level. */
const leastBins = 3

/** The trace in coarse: the median position and height of so many neighbours each. */
export function coarse(points: readonly TracePoint[]): TracePoint[] {
  const size = Math.max(1, Math.ceil(points.length / searchBins))
  const bins: TracePoint[] = []
  for (let start = 0; start < points.length; start += size) {
    const members = points.slice(start, start + size)
    bins.push({
      position: medianOf(members.map((point) => point.position)),
      height: medianOf(members.map((point) => point.height)),
    })
  }
  return bins
}

function medianOf(values: number[]): number {
  const sorted = values.sort((a, b) => a - b)
  const middle = sorted.length / 2
  return ((sorted[Math.ceil(middle) - 1] as number) + (sorted[Math.floor(middle)] as number)) / 2
}

/** A split of the bins in two levels: those from `first` to before `end` lie on the step. */
export type Split = { first: number; end: number; residual: number }

/** The splits with the least sum of squared residuals about two levels of one common parabola. */
export function leastResidual(bins: readonly TracePoint[]): { step: Split | null; edge: Split | null } {
  const n = bins.length
  const sums = runningSums(bins)
  const better = (best: Split | null, first: number, end: number) => {
    const residual = residualOf(sums, first, end)
    return best === null || residual < best.residual ? { first, end, residual } : best
  }
  let step: Split | null = null
  let edge: Split | null = null
  for (let first = leastBins; first <= n - leastBins; first++) {
    for (let end = first + leastBins; end <= n - leastBins; end++) step = better(step, first, end)
    edge = better(edge, first, n)
  }
  return { step, edge }
}

/** Sums from the start on of 1, u, u², z, u·u, u·u², u²·u², u·z, u²·z, z·z, with u from −1 to 1 and z from its middle. */
const terms = 10

function runningSums(bins: readonly TracePoint[]): Float64Array {
  const sums = new Float64Array(terms * (bins.length + 1))
  const [first, last] = [bins[0]?.position ?? 0, bins.at(-1)?.position ?? 0]
  const [at, reach] = [(first + last) / 2, (last - first) / 2 || 1]
  const base = bins[Math.floor(bins.length / 2)]?.height ?? 0
  bins.forEach(({ position, height }, i) => {
    const u = (position - at) / reach
    const q = u * u
    const z = height - base
    const added = [1, u, q, z, u * u, u * q, q * q, u * z, q * z, z * z]
    for (let k = 0; k < terms; k++)
      sums[terms * (i + 1) + k] = (sums[terms * i + k] as number) + (added[k] as number)
  })
  return sums
}

function residualOf(sums: Float64Array, first: number, end: number): number {
  const last = sums.length / terms - 1
  const total = (k: number) => sums[terms * last + k] as number
  const on = (k: number) => (sums[terms * end + k] as number) - (sums[terms * first + k] as number)
  const count = on(0)
  const rest = total(0) - count
  // Within both groups together: Σab − (Σa·Σb)/n of each.
  const pooled = (product: number, a: number, b: number) => {
    const [onA, onB] = [on(a), on(b)]
    return total(product) - (onA * onB) / count - ((total(a) - onA) * (total(b) - onB)) / rest
  }
  const [uu, uq, qq] = [pooled(4, 1, 1), pooled(5, 1, 2), pooled(6, 2, 2)]
  const [uz, qz, zz] = [pooled(7, 1, 3), pooled(8, 2, 3), pooled(9, 3, 3)]
  const determinant = uu * qq - uq * uq
  if (!(determinant > 1e-12 * uu * qq)) return uu > 0 ? zz - uz ** 2 / uu : zz
  return zz - (uz ** 2 * qq - 2 * uz * qz * uq + qz ** 2 * uu) / determinant
}
