import type { Settings } from '../contract/things.ts'
import { form, inner } from '../model/symmetric.ts'
import { seeded } from '../random.ts'
import type { NewRun, Predictor } from './predictor.ts'
import type { Axis } from './region.ts'

/**
 * The prediction variance of the mean averaged over a region, and how one more run changes it. Every setting
 * of the region counts the same, in the factors' own units; levels of a categorical factor count equally.
 */
export type RegionAverage = {
  /** Average variance of the mean. */
  variance: number
  /** How much of it a run with this whitened row takes away, that has so much variance of its own. */
  reduction(run: Pick<NewRun, 'whitened' | 'noise'>): number
  /** The average of products of whitened rows: the variance is its trace. */
  moments: number[][]
}

/**
 * Averages by Gauss–Legendre rules where the model uses up to four continuous factors, exact for polynomials
 * of degree 11 and less, otherwise over random settings.
 */
export function regionAverage(options: {
  predictor: Predictor
  axes: readonly Axis[]
  seed: number
}): RegionAverage {
  const { predictor, axes } = options
  let size = 0
  let total = 0
  let sums: Float64Array | null = null
  for (const { settings, weight } of nodesOf(axes, predictor, options.seed)) {
    const outlook = predictor.at(settings)
    if (outlook === null) continue
    const z = outlook.whitened
    sums ??= new Float64Array(z.length ** 2)
    size += weight
    total += weight * outlook.variance
    for (let i = 0; i < z.length; i++) {
      const share = weight * (z[i] as number)
      for (let j = 0; j < z.length; j++)
        sums[i * z.length + j] = (sums[i * z.length + j] as number) + share * (z[j] as number)
    }
  }
  const products = (sums ?? new Float64Array()).map((sum) => sum / size)
  const p = Math.sqrt(products.length)
  return {
    variance: total / size,
    moments: Array.from({ length: p }, (_, i) => [...products.subarray(i * p, (i + 1) * p)]),
    // (X′V⁻¹X + xx′/s²)⁻¹ by Sherman & Morrison, Ann. Math. Statist. 21 (1950) 124–127.
    reduction: ({ whitened, noise }) =>
      form(products, p, whitened, whitened) / (noise + inner(whitened, whitened)),
  }
}

type Node = { settings: Settings; weight: number }

/** Points of the rule in each of one, two, three or four directions. */
const points = [24, 16, 10, 6]
const randomNodes = 4000

function nodesOf(axes: readonly Axis[], predictor: Predictor, seed: number): Node[] {
  const used = new Set(predictor.columns.map((column) => column.name))
  const moves = (axis: Axis) => axis.factor.kind === 'continuous' && axis.size > 1 && used.has(axis.name)
  const moving = axes.filter(moves)
  const still = axes.filter((axis) => axis.factor.kind !== 'categorical' && !moves(axis))
  const start: Settings = Object.fromEntries(still.map((axis) => [axis.name, axis.setting(0)]))
  const between = (axis: Axis, share: number) => {
    const { low, high } = axis.factor as { low: number; high: number }
    return low + share * (high - low)
  }
  const levels = axes
    .filter((axis) => axis.factor.kind === 'categorical')
    .reduce<Settings[]>(
      (list, axis) =>
        list.flatMap((settings) =>
          Array.from({ length: used.has(axis.name) ? axis.size : 1 }, (_, i) => ({
            ...settings,
            [axis.name]: axis.setting(i),
          })),
        ),
      [start],
    )
  const count = points[moving.length - 1]
  if (moving.length > 0 && count === undefined) {
    const random = seeded(seed)
    return Array.from({ length: randomNodes }, (_, i) => ({
      settings: {
        ...levels[i % levels.length],
        ...Object.fromEntries(moving.map((axis) => [axis.name, between(axis, random.uniform())])),
      },
      weight: 1,
    }))
  }
  const rule = legendre(count ?? 1)
  return moving.reduce<Node[]>(
    (nodes, axis) =>
      nodes.flatMap(({ settings, weight }) =>
        rule.map((node) => ({
          settings: { ...settings, [axis.name]: between(axis, (1 + node.x) / 2) },
          weight: weight * node.weight,
        })),
      ),
    levels.map((settings) => ({ settings, weight: 1 })),
  )
}

/** Nodes and weights of the Gauss–Legendre rule on −1…+1, by Newton's method on the recurrence. */
function legendre(count: number): { x: number; weight: number }[] {
  return Array.from({ length: count }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5))
    let slope = 1
    for (let turn = 0; turn < 50; turn++) {
      let [before, value] = [1, x]
      for (let k = 2; k <= count; k++)
        [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k]
      slope = (count * (x * value - before)) / (x * x - 1)
      const change = value / slope
      x -= change
      if (Math.abs(change) < 1e-15) break
    }
    return { x, weight: 2 / ((1 - x * x) * slope * slope) }
  })
}
