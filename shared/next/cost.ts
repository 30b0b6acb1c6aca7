import type { Choice } from '../contract/results/next.ts'
import type { Factor, Settings } from '../contract/things.ts'
import { type BenchFigures, plateWait } from '../process/budget.ts'

/** What one more run costs. Minutes and mL. */
export type RunCost = Choice['cost']

/** Setting of the hot plate that a run needs, °C. */
export function plateIn(options: {
  factors: readonly Factor[]
  bench: BenchFigures
}): (settings: Settings) => number {
  const bake = options.factors.find((factor) => factor.role === 'bake temperature')
  return (settings) => {
    const value = bake === undefined ? undefined : settings[bake.name]
    return typeof value === 'number' ? value : options.bench.holdBakeTemperature
  }
}

/**
 * The cost of a run after the one made last: coat and read it, and wait for the plate where it must change.
 *
 * @param options.last settings of the run made last; without it the plate is at its usual setting
 */
export function runCostAfter(options: {
  factors: readonly Factor[]
  bench: BenchFigures
  last?: Settings
}): (settings: Settings) => RunCost {
  const { bench, last = {} } = options
  const plate = plateIn(options)
  return (settings) => {
    const [from, to] = [plate(last), plate(settings)]
    const wait = bench.hotPlate === null ? 0 : plateWait(from, to, bench.hotPlate)
    return {
      minutes: Number((bench.coatMinutes + bench.readMinutes + wait).toPrecision(12)),
      resistMl: bench.coatMl,
      plateChange: from !== to,
    }
  }
}
