import type { DesignSettings, Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { splitIntoBlocks } from './blocks.ts'
import type { DraftRun } from './design-point.ts'
import { columnsOf, type DesignTerm, orderOf, placeOf } from './design-terms.ts'
import { type SplitRuns, settingKey } from './visits.ts'

/**
 * Runs that the design itself has no block for: whole replicates to each block where they divide, otherwise the runs
 * split so that effects stay clear.
 */
export function inBlocks(
  runs: readonly DraftRun[],
  { blocks, replicates }: DesignSettings,
  split: SplitRuns,
): DraftRun[] {
  if (blocks === 1) return [...runs]
  if (replicates % blocks === 0)
    return runs.map((run, i) => ({ ...run, block: Math.floor((i * blocks) / runs.length) + 1 }))
  const block = split(runs, blocks)
  return runs.map((run, i) => ({ ...run, block: block[i] as number }))
}

/** Shares runs out so that the effects stay clear of the parts, main effects before the others. */
export function split(factors: readonly Factor[], terms: readonly DesignTerm[], random: Random): SplitRuns {
  const effects = terms.filter((term) => term.parts.length > 0)
  const hard = factors.filter((factor) => factor.hardToChange)
  return (runs, parts) =>
    splitIntoBlocks({
      columns: columnsOf(
        effects,
        runs.map((run) => placeOf(factors, run.coded)),
      ),
      weights: effects.map((term) => (orderOf(term) === 1 ? 100 : 1)),
      runs: runs.length,
      blocks: parts,
      ...(hard.length > 0 ? { settings: runs.map((run) => settingKey(hard, run)) } : {}),
      random,
    })
}
