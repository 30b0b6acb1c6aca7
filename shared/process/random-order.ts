import { type BenchFigures, type BenchRun, bySession, plateWait } from './budget.ts'

/**
 * Minutes of waiting for the plate that the runs would cost on average if those of each session were made in a fully
 * random order, the first and last of them left in place where they are reference wafers. It is the mean over all
 * orders, and needs no drawing: each ordered pair of runs stands together equally often, so that of n runs the n − 1
 * neighbours wait as long as an average pair.
 *
 * @returns null where no run sets the plate or its rates are not known
 */
export function randomOrderWait(
  runs: readonly (BenchRun & { reference: boolean })[],
  bench: BenchFigures,
): number | null {
  const { hotPlate } = bench
  if (hotPlate === null || runs.every((run) => run.plateTemperature === null)) return null
  const wait = (from: number, to: number) => plateWait(from, to, hotPlate)
  const at = (run: BenchRun) => run.plateTemperature ?? bench.holdBakeTemperature
  let sum = 0
  for (const { runs: all } of bySession(runs)) {
    const free = all.filter((run) => !run.reference).map(at)
    const held = all.filter((run) => run.reference).map(at)
    const pairs = free.flatMap((from, i) => free.flatMap((to, j) => (i === j ? [] : [wait(from, to)])))
    if (free.length > 1) sum += (free.length - 1) * mean(pairs)
    if (free.length === 0) continue
    const [first, last] = [held[0], held[1]]
    if (first !== undefined) sum += mean(free.map((to) => wait(first, to)))
    if (last !== undefined) sum += mean(free.map((from) => wait(from, last)))
  }
  return sum
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length
