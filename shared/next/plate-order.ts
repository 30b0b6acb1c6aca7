/**
 * The orders of runs with the fewest changes of the hot plate: those at its present setting first, then setting by
 * setting upwards, or downwards. Runs of one setting keep their order.
 */
export function plateOrder<R>(runs: readonly R[], plateOf: (run: R) => number, now: number): R[][] {
  const here = runs.filter((run) => plateOf(run) === now)
  const rest = runs.filter((run) => plateOf(run) !== now)
  const up = [...rest].sort((a, b) => plateOf(a) - plateOf(b))
  const down = [...rest].sort((a, b) => plateOf(b) - plateOf(a))
  return [up, down].map((sequence) => [...here, ...sequence])
}
