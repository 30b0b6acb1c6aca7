type Point = { position: number; height: number }

/** Two parallel lines: their slope, the heights of both at position 0, and their distance. */
export type Levels = {
  slope: number
  inside: number
  outside: number
  step: number
  standardUncertainty: number
  residualStandardDeviation: number
}

/**
 * Least squares of height = slope · position + level, with one level for the points inside and one for those
 * outside. Solved through the sums within the two groups (analysis of covariance), which is the same least
 * squares.
 *
 * @returns step = inside − outside, its standard uncertainty from the residuals with n − 3 degrees of freedom
 */
export function levels(inside: readonly Point[], outside: readonly Point[]): Levels {
  const groups = [inside, outside].map((points) => {
    const x = meanOf(points.map((point) => point.position))
    const z = meanOf(points.map((point) => point.height))
    return { points, x, z }
  }) as [Group, Group]
  const spread = sumOver(groups, (group, point) => (point.position - group.x) ** 2)
  const slope =
    sumOver(groups, (group, point) => (point.position - group.x) * (point.height - group.z)) / spread
  const residual = sumOver(
    groups,
    (group, point) => (point.height - group.z - slope * (point.position - group.x)) ** 2,
  )
  const s = Math.sqrt(residual / (inside.length + outside.length - 3))
  const [a, b] = groups
  return {
    slope,
    inside: a.z - slope * a.x,
    outside: b.z - slope * b.x,
    step: a.z - b.z - slope * (a.x - b.x),
    standardUncertainty: s * Math.sqrt(1 / inside.length + 1 / outside.length + (a.x - b.x) ** 2 / spread),
    residualStandardDeviation: s,
  }
}

type Group = { points: readonly Point[]; x: number; z: number }

const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length

function sumOver(groups: readonly Group[], of: (group: Group, point: Point) => number): number {
  return groups.reduce(
    (sum, group) => group.points.reduce((inner, point) => inner + of(group, point), sum),
    0,
  )
}
