import type { DesignSettings, Factor } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Random } from '../random.ts'
import { gridOf, settle } from './code.ts'
import type { DesignPoint } from './design-point.ts'
import type { Place } from './design-terms.ts'
import type { DrawnDesign } from './drawn-design.ts'

/** Runs for each factor where none are asked for: Loeppky, Sacks & Welch, Technometrics 51 (2009) 366–376. */
const runsPerFactor = 10

/**
 * A space-filling design: a Latin hypercube (each factor takes evenly spaced values from end to end, each
 * once) whose closest two runs are as far apart as a search finds. Factors that are hard to change take only
 * the levels of their grid, levels by name are used equally often.
 *
 * @param kept runs already made, as numbers; the new ones keep away from them too
 */
export function spaceFilling(
  factors: readonly Factor[],
  settings: DesignSettings,
  kept: readonly Place[],
  random: Random,
): Answer<DrawnDesign> {
  const runs = settings.runs ?? Math.min(500, runsPerFactor * factors.length)
  if (runs < 2)
    return refuse('tooFewRuns', 'A space-filling design needs at least 2 runs.', { column: 'runs' })
  return good({
    size: runs,
    points: () => spread(factors, runs, kept, random),
    words:
      `Space-filling: ${runs} runs, each factor at evenly spaced settings, the closest two runs as far apart as ` +
      `the search found${kept.length > 0 ? ', away from the runs already made as well' : ''}.`,
  })
}

function spread(
  factors: readonly Factor[],
  runs: number,
  kept: readonly Place[],
  random: Random,
): DesignPoint[] {
  const values = factors.map((factor) => columnValues(factor, runs))
  const starts = runs <= 20 ? 100 : runs <= 60 ? 12 : runs <= 150 ? 3 : 1
  const tries = Math.min(100_000, Math.ceil(4e6 / (runs + kept.length)))
  let best: Search | undefined
  for (let start = 0; start < starts; start++) {
    const search = new Search(factors, values, kept, random)
    search.run(Math.ceil(tries / starts))
    if (best === undefined || search.energy < best.energy) best = search
  }
  return Array.from({ length: runs }, (_, i) => ({
    kind: 'space',
    coded: factors.map((factor, f) => {
      const value = best!.columns[f]![i]!
      return factor.kind === 'categorical' ? (factor.levelNames[value] as string) : value
    }),
  }))
}

/** The values that a factor takes over the runs, before they are put into an order. */
function columnValues(factor: Factor, runs: number): number[] {
  if (factor.kind === 'categorical')
    return Array.from({ length: runs }, (_, i) => Math.floor((i * factor.levelNames.length) / runs))
  if (factor.hardToChange) {
    const grid = gridOf(factor).map((coded) => settle(factor, coded).coded as number)
    return Array.from({ length: runs }, (_, i) => grid[Math.floor((i * grid.length) / runs)] as number)
  }
  return Array.from({ length: runs }, (_, i) => settle(factor, (2 * i) / (runs - 1) - 1).coded as number)
}

/**
 * Exchanges two runs' values of one factor, keeping what lowers Σ 1/d³² over all pairs (Morris & Mitchell,
 * J. Statistical Planning and Inference 43 (1995) 381–402), with a temperature that falls to nothing.
 */
class Search {
  readonly columns: number[][]
  energy = 0
  readonly #factors: readonly Factor[]
  readonly #kept: readonly Place[]
  readonly #random: Random
  readonly #runs: number
  /** Squared distances, run by run and run by kept run; two levels by name are as far apart as two ends. */
  readonly #squares: Float64Array
  readonly #width: number

  constructor(
    factors: readonly Factor[],
    values: readonly number[][],
    kept: readonly Place[],
    random: Random,
  ) {
    this.#factors = factors
    this.#kept = kept
    this.#random = random
    this.columns = values.map((column) => random.shuffled(column))
    this.#runs = this.columns[0]!.length
    this.#width = this.#runs + kept.length
    this.#squares = new Float64Array(this.#runs * this.#width)
    for (let i = 0; i < this.#runs; i++)
      for (let m = 0; m < this.#width; m++)
        for (let f = 0; f < factors.length; f++)
          this.#squares[i * this.#width + m]! += this.#gap(f, this.columns[f]![i]!, this.#valueAt(f, m))
    this.energy = this.#total()
  }

  run(tries: number): void {
    let best = { energy: this.energy, columns: this.columns.map((column) => [...column]) }
    for (let attempt = 0; attempt < tries; attempt++) {
      const heat = 0.5 * (1 - attempt / tries) ** 2
      const f = this.#random.below(this.columns.length)
      const i = this.#random.below(this.#runs)
      const j = this.#random.below(this.#runs)
      if (this.columns[f]![i] === this.columns[f]![j]) continue
      const change = this.#exchange(f, i, j)
      // The energy spans many powers of ten, so a rise is judged as a share of what there is.
      if (change > 0 && this.#random.uniform() >= Math.exp(-change / this.energy / Math.max(heat, 1e-9))) {
        this.#exchange(f, i, j)
        continue
      }
      this.energy += change
      if (attempt % 1000 === 0) this.energy = this.#total()
      if (this.energy < best.energy * (1 - 1e-9))
        best = { energy: this.energy, columns: this.columns.map((column) => [...column]) }
    }
    best.columns.forEach((column, f) => {
      this.columns[f] = column
    })
    this.energy = best.energy
  }

  #valueAt(f: number, m: number): number {
    return m < this.#runs ? this.columns[f]![m]! : this.#kept[m - this.#runs]![f]!
  }

  #gap(f: number, a: number, b: number): number {
    if (this.#factors[f]!.kind === 'categorical') return a === b ? 0 : 4
    return (a - b) ** 2
  }

  /** Exchanges the values of runs i and j and returns the change in energy. */
  #exchange(f: number, i: number, j: number): number {
    const column = this.columns[f]!
    const a = column[i]!
    const b = column[j]!
    let change = 0
    for (let m = 0; m < this.#width; m++) {
      if (m === i || m === j) continue
      const value = this.#valueAt(f, m)
      const toA = this.#gap(f, a, value)
      const toB = this.#gap(f, b, value)
      change += this.#move(i, m, toB - toA) + this.#move(j, m, toA - toB)
    }
    column[i] = b
    column[j] = a
    return change
  }

  #move(i: number, m: number, by: number): number {
    const at = i * this.#width + m
    const before = this.#squares[at]!
    this.#squares[at] = before + by
    if (m < this.#runs) this.#squares[m * this.#width + i] = before + by
    return repulsion(before + by) - repulsion(before)
  }

  #total(): number {
    let sum = 0
    for (let i = 0; i < this.#runs; i++)
      for (let m = i + 1; m < this.#width; m++) sum += repulsion(this.#squares[i * this.#width + m]!)
    return sum
  }
}

/** 1/d³² from d²; two runs at one place count as very near. */
function repulsion(square: number): number {
  const inverse = 1 / Math.max(square, 1e-6)
  const fourth = inverse * inverse
  const eighth = fourth * fourth
  const sixteenth = eighth * eighth
  return sixteenth * sixteenth
}
