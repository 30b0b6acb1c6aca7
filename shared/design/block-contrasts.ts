import type { Factor } from '../contract/things.ts'
import type { CodedSettings } from './code.ts'
import { type DesignTerm, type Place, placeOf } from './design-terms.ts'

/**
 * Blocks beside a model: the contrasts of their shifts, which sum to zero, as terms in one more coordinate of a
 * place, the block from 0. A place without that coordinate stands in the mean block, where every contrast is 0.
 *
 * @param factors how many factors there are; the block is the coordinate after theirs
 */
export function blockContrasts(factors: number, blocks: number): DesignTerm[] {
  return Array.from({ length: blocks - 1 }, (_, b) => ({
    name: `block[${b + 2}]`,
    parts: [{ factor: factors, level: b + 1 }],
  }))
}

/** The part, from 0, of one of so many items that are shared out in their order as evenly as can be. */
export function partOf(item: number, items: number, parts: number): number {
  return Math.floor((item * parts) / items)
}

/** A model and its runs with the blocks beside them; without further blocks both are as they were. */
export function withBlocks(
  factors: readonly Factor[],
  terms: readonly DesignTerm[],
  runs: readonly { coded: CodedSettings; block?: number }[],
): { terms: DesignTerm[]; places: Place[] } {
  const blocks = [...new Set(runs.map((run) => run.block ?? 1))]
  return {
    terms: [...terms, ...blockContrasts(factors.length, blocks.length)],
    places: runs.map((run) => inBlock(placeOf(factors, run.coded), blocks.indexOf(run.block ?? 1))),
  }
}

/** A place with its block, from 0. */
export function inBlock(place: Place, block: number): Place {
  return Float64Array.of(...place, block)
}
