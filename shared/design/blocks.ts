import type { Random } from '../random.ts'

/**
 * Splits one set of runs into blocks of equal size (differing by one where they do not divide) so that the
 * block means of the model's columns differ as little as possible: orthogonal to the blocks where that can be
 * had, otherwise main effects are kept clear before interactions and squares. Pairs of runs are exchanged
 * while that helps, from several random starts.
 *
 * @param options.columns the model's columns without the constant, one array of n values each
 * @param options.weights how much each column's confounding with blocks counts
 * @returns the block of each run, from 1
 */
export function splitIntoBlocks(options: {
  columns: readonly Float64Array[]
  weights: readonly number[]
  runs: number
  blocks: number
  random: Random
}): number[] {
  const { runs, blocks, random } = options
  const inOrder = Array.from({ length: runs }, (_, i) => Math.floor((i * blocks) / runs))
  const starts = runs <= 64 ? 60 : runs <= 160 ? 12 : 3
  let best: { block: number[]; confounding: number } | undefined
  for (let start = 0; start < starts; start++) {
    const attempt = improve(random.shuffled(inOrder), options)
    if (best === undefined || attempt.confounding < best.confounding - 1e-9) best = attempt
    if (best.confounding < 1e-9) break
  }
  return renumbered(best?.block ?? inOrder)
}

/** Exchanges runs between blocks until no exchange lowers Σ weight · Σ over blocks of sum²/size. */
function improve(
  block: number[],
  {
    columns,
    weights,
    blocks,
  }: { columns: readonly Float64Array[]; weights: readonly number[]; blocks: number },
): { block: number[]; confounding: number } {
  const n = block.length
  const centred = columns.map((column) => {
    const mean = column.reduce((sum, value) => sum + value, 0) / n
    return column.map((value) => value - mean)
  })
  const size = Array.from({ length: blocks }, (_, b) => block.filter((of) => of === b).length)
  const sums = centred.map((column) => {
    const sum = new Float64Array(blocks)
    block.forEach((b, i) => {
      sum[b]! += column[i]!
    })
    return sum
  })
  for (let improved = true; improved; ) {
    improved = false
    for (let i = 0; i < n; i++)
      for (let j = i + 1; j < n; j++) {
        const a = block[i]!
        const b = block[j]!
        if (a === b) continue
        let gain = 0
        for (let c = 0; c < centred.length; c++) {
          const move = centred[c]![j]! - centred[c]![i]!
          if (move === 0) continue
          const inA = sums[c]![a]!
          const inB = sums[c]![b]!
          gain +=
            weights[c]! *
            ((inA ** 2 - (inA + move) ** 2) / size[a]! + (inB ** 2 - (inB - move) ** 2) / size[b]!)
        }
        if (gain < 1e-9) continue
        improved = true
        block[i] = b
        block[j] = a
        for (let c = 0; c < centred.length; c++) {
          const move = centred[c]![j]! - centred[c]![i]!
          sums[c]![a]! += move
          sums[c]![b]! -= move
        }
      }
  }
  const confounding = sums.reduce(
    (total, sum, c) => total + weights[c]! * sum.reduce((part, value, b) => part + value ** 2 / size[b]!, 0),
    0,
  )
  return { block, confounding }
}

/** Blocks numbered from 1 in the order in which standard order meets them. */
function renumbered(block: readonly number[]): number[] {
  const numbers = new Map<number, number>()
  return block.map((b) => {
    if (!numbers.has(b)) numbers.set(b, numbers.size + 1)
    return numbers.get(b) as number
  })
}
