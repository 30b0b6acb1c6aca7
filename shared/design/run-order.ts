import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { spreadAmong } from './centre-points.ts'
import type { DraftRun } from './design-point.ts'

/** A run with its place in the order, from 1, and the visit to the hard-to-change setting, from 1. */
export type OrderedRun = DraftRun & { runOrder: number; plateVisit: number | null }

type Visit = { block: number; key: string; runs: DraftRun[]; centres: DraftRun[] }

/**
 * Puts runs into the order in which they are to be made. Blocks come one after another. Without a hard factor
 * the runs of a block are in random order and the centre points stand first, last and evenly between in the
 * whole order. With one, the runs of a block are grouped into visits (one for each setting of the hard
 * factors), the visits in random order and the runs random within each; centre points stand first, last and
 * evenly between within the visits at their setting, or in visits of their own, first and last.
 * (Randomization and centre points: NIST/SEMATECH e-Handbook, 5.3.3.7.)
 *
 * @param options.visits how many visits in all; more than one a level splits levels, the middle one first
 */
export function orderRuns(options: {
  factors: readonly Factor[]
  runs: readonly DraftRun[]
  random: Random
  visits?: number
}): { runs: OrderedRun[]; words: string } {
  const hard = options.factors.filter((factor) => factor.hardToChange)
  const placed = hard.length > 0 ? inVisits(options, hard) : inBlocks(options)
  return {
    runs: placed.map((run, i) => ({ ...run, runOrder: i + 1 })),
    words: wordsFor(options, hard, placed),
  }
}

type Placed = DraftRun & { plateVisit: number | null }

function inBlocks({ runs, random }: { runs: readonly DraftRun[]; random: Random }): Placed[] {
  const others = runs.filter((run) => run.kind !== 'centre')
  const hosts = blocksOf(others).flatMap((block) =>
    random.shuffled(others.filter((run) => run.block === block)),
  )
  const ordered = spreadAmong(
    hosts,
    runs.filter((run) => run.kind === 'centre'),
  )
  // A centre point belongs to the block in which it stands: that of the run before it.
  let block = hosts[0]?.block ?? 1
  return ordered.map((run) => {
    if (run.kind !== 'centre') block = run.block
    return { ...run, block, plateVisit: null }
  })
}

function inVisits(
  options: { runs: readonly DraftRun[]; random: Random; visits?: number },
  hard: readonly Factor[],
): Placed[] {
  const { runs, random } = options
  const keyOf = (run: DraftRun) => JSON.stringify(hard.map((factor) => run.settings[factor.name]))
  const others = runs.filter((run) => run.kind !== 'centre')
  const visits: Visit[] = blocksOf(others).flatMap((block) => {
    const ofBlock = others.filter((run) => run.block === block)
    const keys = [...new Set(ofBlock.map(keyOf))]
    return random.shuffled(keys).map((key) => ({
      block,
      key,
      runs: random.shuffled(ofBlock.filter((run) => keyOf(run) === key)),
      centres: [],
    }))
  })
  placeCentres(
    visits,
    runs.filter((run) => run.kind === 'centre'),
    keyOf,
  )
  return visits.flatMap((visit, v) =>
    spreadAmong(visit.runs, visit.centres).map((run) => ({
      ...run,
      block: visit.block,
      plateVisit: v + 1,
    })),
  )
}

/** Deals centre points out over the visits at their setting; where there is none, into visits first and last. */
function placeCentres(visits: Visit[], centres: DraftRun[], keyOf: (run: DraftRun) => string): void {
  for (const key of [...new Set(centres.map(keyOf))]) {
    const guests = centres.filter((run) => keyOf(run) === key)
    let homes = visits.filter((visit) => visit.key === key)
    if (homes.length === 0) {
      const first: Visit = { block: visits[0]?.block ?? 1, key, runs: [], centres: [] }
      visits.unshift(first)
      homes = [first]
      if (guests.length > 1) {
        const last: Visit = { block: visits.at(-1)?.block ?? 1, key, runs: [], centres: [] }
        visits.push(last)
        homes.push(last)
      }
    }
    guests.forEach((guest, i) => {
      homes[Math.floor((i * homes.length) / guests.length)]?.centres.push(guest)
    })
  }
}

function blocksOf(runs: readonly DraftRun[]): number[] {
  return [...new Set(runs.map((run) => run.block))].sort((a, b) => a - b)
}

function wordsFor(
  { runs }: { runs: readonly DraftRun[] },
  hard: readonly Factor[],
  placed: readonly Placed[],
): string {
  const blocks = blocksOf(placed).length
  const centres = runs.filter((run) => run.kind === 'centre')
  const sentences: string[] = []
  if (blocks > 1) sentences.push(`The ${blocks} blocks are run one after another.`)
  if (hard.length === 0) {
    sentences.push(blocks > 1 ? 'Within each block the order is random.' : 'The runs are in random order.')
    if (centres.length === 1) sentences.push('The centre point is not randomized: it stands first.')
    if (centres.length > 1)
      sentences.push('Centre points are not randomized: they stand first, last and evenly between.')
    return sentences.join(' ')
  }
  const visit = visitWord(hard)
  const names = listed(hard.map((factor) => factor.name))
  const order = visitOrder(hard, placed)
  sentences.push(
    `${names} ${hard.length > 1 ? 'are' : 'is'} hard to change, so the runs are grouped into ` +
      `${order.length} ${visit}s: ${order.join(' → ')}.`,
    `The order of the visits is random${blocks > 1 ? ' within each block' : ''}, and so is the order within each.`,
  )
  if (centres.length > 0) sentences.push(centreWords(placed, visit, hard))
  return sentences.join(' ')
}

function centreWords(placed: readonly Placed[], visit: string, hard: readonly Factor[]): string {
  const withCentres = [...new Set(placed.filter((run) => run.kind === 'centre').map((run) => run.plateVisit))]
  const own = withCentres.filter((v) => placed.every((run) => run.plateVisit !== v || run.kind === 'centre'))
  if (own.length === 0)
    return (
      'Centre points are not randomized: they stand first, last and evenly between within the ' +
      `${visit}s${hard.some((factor) => factor.kind === 'continuous') ? ' at the middle level' : ''}.`
    )
  return own.length === 1
    ? `No run is at the middle level, so the centre points have a ${visit} of their own, which comes first.`
    : `No run is at the middle level, so the centre points have ${visit}s of their own: not randomized, ` +
        'half of them in the first visit and half in the last.'
}

/** The settings of the visits in order, as text with units. */
function visitOrder(hard: readonly Factor[], placed: readonly Placed[]): string[] {
  const visits = new Map<number, string>()
  for (const run of placed)
    if (run.plateVisit !== null && !visits.has(run.plateVisit))
      visits.set(
        run.plateVisit,
        hard
          .map((factor) => `${run.settings[factor.name]}${factor.unit ? ` ${factor.unit}` : ''}`)
          .join(', '),
      )
  return [...visits.values()]
}

function visitWord(hard: readonly Factor[]): string {
  return hard.some((factor) => factor.role === 'bake temperature') ? 'plate visit' : 'visit'
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}
