import type { Random } from '../random.ts'

export type SplitOptions = {
  /** The model's columns without the constant, one array of n values each. */
  columns: readonly Float64Array[]
  /** How much each column's confounding with blocks counts. */
  weights: readonly number[]
  runs: number
  blocks: number
  /** Setting of the hard-to-change factors of each run, as a key; runs of one setting and block are a visit. */
  settings?: readonly string[]
  random: Random
}

/**
 * Splits one set of runs into blocks of equal size (differing by one where they do not divide) so that the
 * block means of the model's columns differ as little as possible: orthogonal to the blocks where that can be
 * had, otherwise main effects are kept clear before interactions and squares. With hard-to-change settings the
 * means of the visits within one setting count too, half as much: what differs between them is told less well,
 * but is not lost. Pairs of runs are exchanged while that helps, from several random starts.
 *
 * @returns the block of each run, from 1
 */
export function splitIntoBlocks(options: SplitOptions): number[] {
  const { runs, blocks, random } = options
  const inOrder = Array.from({ length: runs }, (_, i) => Math.floor((i * blocks) / runs))
  const layers = layersOf(options)
  const starts = runs <= 64 ? 60 : runs <= 160 ? 12 : 3
  let best: { block: number[]; confounding: number } | undefined
  for (let start = 0; start < starts; start++) {
    const attempt = improve(random.shuffled(inOrder), layers)
    if (best === undefined || attempt.confounding < best.confounding - 1e-9) best = attempt
    if (best.confounding < 1e-9) break
  }
  return renumbered(best?.block ?? inOrder)
}

/** What is to be clear of a grouping: columns, centred within each setting, and the groups. */
type Layer = {
  columns: Float64Array[]
  weights: readonly number[]
  /** Number of the group of a run in a block. */
  groupOf: (run: number, block: number) => number
  groups: number
}

function layersOf({ columns, weights, runs, blocks, settings }: SplitOptions): Layer[] {
  const all = new Array<string>(runs).fill('')
  const overBlocks = {
    columns: columns.map((column) => centredWithin(column, all)),
    weights,
    groupOf: (_: number, block: number) => block,
    groups: blocks,
  }
  const keys = [...new Set(settings)]
  if (settings === undefined || keys.length < 2) return [overBlocks]
  const within = columns.map((column) => centredWithin(column, settings))
  const changing = within.flatMap((column, c) => (column.some((value) => Math.abs(value) > 1e-12) ? [c] : []))
  const place = settings.map((key) => keys.indexOf(key))
  const overVisits = {
    columns: changing.map((c) => within[c]!),
    weights: changing.map((c) => weights[c]! / 2),
    groupOf: (run: number, block: number) => place[run]! * blocks + block,
    groups: keys.length * blocks,
  }
  return [overBlocks, overVisits]
}

function centredWithin(column: Float64Array, keys: readonly string[]): Float64Array {
  const means = new Map<string, number>()
  for (const key of new Set(keys)) {
    const own = column.filter((_, i) => keys[i] === key)
    means.set(key, own.reduce((sum, value) => sum + value, 0) / own.length)
  }
  return column.map((value, i) => value - means.get(keys[i]!)!)
}

/** Exchanges runs between blocks until no exchange lowers Σ weight · Σ over groups of sum²/size. */
function improve(block: number[], layers: readonly Layer[]): { block: number[]; confounding: number } {
  const n = block.length
  const states = layers.map((layer) => new GroupSums(layer, block))
  for (let improved = true; improved; ) {
    improved = false
    for (let i = 0; i < n; i++)
      for (let j = i + 1; j < n; j++) {
        const a = block[i]!
        const b = block[j]!
        if (a === b) continue
        if (states.reduce((sum, state) => sum + state.gain(i, j, a, b), 0) < 1e-9) continue
        improved = true
        block[i] = b
        block[j] = a
        for (const state of states) state.exchange(i, j, a, b)
      }
  }
  return { block, confounding: states.reduce((sum, state) => sum + state.confounding(), 0) }
}

/** Sums of a layer's columns over its groups, kept while runs are exchanged. */
class GroupSums {
  readonly #layer: Layer
  readonly #size: Float64Array
  readonly #sums: Float64Array[]

  constructor(layer: Layer, block: readonly number[]) {
    this.#layer = layer
    this.#size = new Float64Array(layer.groups)
    block.forEach((b, i) => {
      this.#size[layer.groupOf(i, b)]!++
    })
    this.#sums = layer.columns.map((column) => {
      const sum = new Float64Array(layer.groups)
      block.forEach((b, i) => {
        sum[layer.groupOf(i, b)]! += column[i]!
      })
      return sum
    })
  }

  /** How much the confounding falls where run i goes from block a to b and run j the other way. */
  gain(i: number, j: number, a: number, b: number): number {
    let gain = 0
    for (const { group, size, out, into } of this.#moves(i, j, a, b)) {
      const before = this.#size[group]!
      const after = before + size
      for (let c = 0; c < this.#sums.length; c++) {
        const column = this.#layer.columns[c]!
        const move = (into < 0 ? 0 : column[into]!) - (out < 0 ? 0 : column[out]!)
        const sum = this.#sums[c]![group]!
        const now = before === 0 ? 0 : sum ** 2 / before
        gain += this.#layer.weights[c]! * (now - (after === 0 ? 0 : (sum + move) ** 2 / after))
      }
    }
    return gain
  }

  exchange(i: number, j: number, a: number, b: number): void {
    for (const { group, size, out, into } of this.#moves(i, j, a, b)) {
      this.#size[group]! += size
      for (let c = 0; c < this.#sums.length; c++) {
        const column = this.#layer.columns[c]!
        this.#sums[c]![group]! += (into < 0 ? 0 : column[into]!) - (out < 0 ? 0 : column[out]!)
      }
    }
  }

  confounding(): number {
    return this.#sums.reduce(
      (total, sum, c) =>
        total +
        this.#layer.weights[c]! *
          sum.reduce((part, value, g) => part + (this.#size[g] === 0 ? 0 : value ** 2 / this.#size[g]!), 0),
      0,
    )
  }

  /** Groups that change, with what leaves and what comes; −1 where nothing does. */
  #moves(i: number, j: number, a: number, b: number) {
    const { groupOf } = this.#layer
    const [fromI, toI, fromJ, toJ] = [groupOf(i, a), groupOf(i, b), groupOf(j, b), groupOf(j, a)]
    if (fromI === toJ)
      return [
        { group: fromI, size: 0, out: i, into: j },
        { group: fromJ, size: 0, out: j, into: i },
      ]
    return [
      { group: fromI, size: -1, out: i, into: -1 },
      { group: toI, size: 1, out: -1, into: i },
      { group: fromJ, size: -1, out: j, into: -1 },
      { group: toJ, size: 1, out: -1, into: j },
    ]
  }
}

/** Blocks numbered from 1 in the order in which standard order meets them. */
function renumbered(block: readonly number[]): number[] {
  const numbers = new Map<number, number>()
  return block.map((b) => {
    if (!numbers.has(b)) numbers.set(b, numbers.size + 1)
    return numbers.get(b) as number
  })
}
