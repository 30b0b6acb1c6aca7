import type { Factor, Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Random } from '../random.ts'
import { spreadAmong } from './centre-points.ts'
import type { DraftRun, OrderedRun } from './design-point.ts'
import { orderInWords } from './order-words.ts'
import { withReferences } from './reference-runs.ts'
import { groupIntoVisits, type SplitRuns, settingKey, type VisitOrder } from './visits.ts'

/**
 * Puts runs into the order in which they are to be made. Blocks come one after another. Without a hard factor
 * the runs of a block are in random order and the centre points stand first, last and evenly between in the
 * whole order. With one, the runs of a block are grouped into visits (one for each setting of the hard
 * factors), the visits in random order and the runs random within each; centre points stand first, last and
 * evenly between within the visits at their setting, or in visits of their own, first and last. Blocks are dealt out
 * among the sessions in order; a reference wafer stands first and last in each.
 * (Randomization and centre points: NIST/SEMATECH e-Handbook, 5.3.3.7.)
 *
 * @param options.kept runs already made, which stay first and as they are
 * @param options.visits how many visits in all (without those of kept runs); one a setting and block unless
 *   given, more repeat settings, the middle one first
 * @param options.sessions over how many the blocks are dealt out; undefined: the plan leaves it open
 * @param options.split shares the runs of one setting out over its visits
 */
export function orderRuns(options: {
  factors: readonly Factor[]
  kept: readonly DraftRun[]
  runs: readonly DraftRun[]
  random: Random
  visits: number | undefined
  split: SplitRuns
  visitOrder: VisitOrder
  blocks: number
  sessions: number | undefined
  reference: Settings | undefined
}): Answer<{ runs: OrderedRun[]; words: string }> {
  const hard = options.factors.filter((factor) => factor.hardToChange)
  const kept = keptInOrder(options.kept, hard)
  const before = kept.at(-1)?.plateVisit ?? 0
  const { blocks, sessions, reference } = options
  const sessionOf = (block: number) => Math.ceil((block * (sessions ?? 1)) / blocks)
  let placed: OrderedRun[]
  if (hard.length > 0) {
    const visits = groupIntoVisits({ ...options, hard, order: options.visitOrder, sessionOf })
    if (!visits.ok) return visits
    placed = visits.value.flatMap((visit, v) =>
      spreadAmong(visit.runs, visit.centres).map(({ visit: _, ...run }) => ({
        ...run,
        block: visit.block,
        runOrder: 0,
        plateVisit: before + v + 1,
        session: null,
      })),
    )
  } else {
    if (options.visits !== undefined)
      return refuse('noHardFactor', 'Visits are counted where a factor is hard to change; none is.', {
        column: 'visits',
      })
    placed = inBlocks(options.runs, options.random)
  }
  // Whoever measures against a reference has to know the sessions.
  if (sessions !== undefined || reference !== undefined)
    placed = placed.map((run) => ({ ...run, session: `Session ${sessionOf(run.block)}` }))
  if (reference !== undefined) {
    const firstNumber = kept.length + placed.length + 1
    placed = withReferences({
      factors: options.factors,
      placed,
      reference,
      firstVisit: before + 1,
      firstNumber,
    })
  }
  return good({
    runs: [...kept, ...placed].map((run, i) => ({ ...run, runOrder: i + 1 })),
    words: orderInWords({
      hard,
      kept: kept.length,
      placed,
      cheapest: options.visitOrder.by === 'cost',
    }),
  })
}

function inBlocks(runs: readonly DraftRun[], random: Random): OrderedRun[] {
  const others = runs.filter((run) => run.kind !== 'centre')
  const blocks = [...new Set(others.map((run) => run.block))].sort((a, b) => a - b)
  const hosts = blocks.flatMap((block) => random.shuffled(others.filter((run) => run.block === block)))
  const ordered = spreadAmong(
    hosts,
    runs.filter((run) => run.kind === 'centre'),
  )
  // A centre point belongs to the block in which it stands: that of the run before it.
  let block = hosts[0]?.block ?? 1
  return ordered.map((run) => {
    if (run.kind !== 'centre') block = run.block
    return { ...run, block, runOrder: 0, plateVisit: null, session: null }
  })
}

/** Kept runs in their own order; a new visit begins where the hard setting changes. */
function keptInOrder(kept: readonly DraftRun[], hard: readonly Factor[]): OrderedRun[] {
  let visit = 0
  return kept.map((run, i) => {
    const previous = kept[i - 1]
    if (previous === undefined || settingKey(hard, previous) !== settingKey(hard, run)) visit++
    return { ...run, runOrder: 0, plateVisit: hard.length > 0 ? visit : null, session: null }
  })
}
