import type { Factor } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Random } from '../random.ts'
import { evenPlaces, partsOfGuests } from './centre-points.ts'
import { cheapestOrder, type VisitCost } from './cheapest-visits.ts'
import type { DraftRun } from './design-point.ts'

/** A stretch at one setting of the hard-to-change factors. */
export type Visit = { block: number; key: string; runs: DraftRun[]; centres: DraftRun[] }

/** Shares runs out over a number of parts: the part of each run, from 1. */
export type SplitRuns = (runs: readonly DraftRun[], parts: number) => number[]

/** How the visits of a block are ordered. */
export type VisitOrder =
  | { by: 'chance' }
  /** The least waiting, with the reference wafers that stand first and last in each session, by their setting. */
  | { by: 'cost'; cost: VisitCost; reference: string | undefined }

/** Runs of one block at one setting, and into how many visits they are split. */
type Group = {
  block: number
  key: string
  runs: DraftRun[]
  fromMiddle: number
  visits: number
  /** The design's own number for the visit. */
  own: number | undefined
}

/** What tells the settings of the hard factors apart. */
export function settingKey(hard: readonly Factor[], run: Pick<DraftRun, 'settings'>): string {
  return JSON.stringify(hard.map((factor) => run.settings[factor.name]))
}

/**
 * Groups runs into visits in the order in which they are made: within a block the visits are in random order or in the
 * one with the least waiting, only a setting that alone is visited more than once stands first, last and evenly
 * between, so that it shows a drift; runs are in random order within each.
 *
 * @param options.sessionOf the session of a block: within one the plate stands where the block before has left it
 * @returns a problem with column `visits` where their number cannot be had
 */
export function groupIntoVisits(options: {
  hard: readonly Factor[]
  runs: readonly DraftRun[]
  random: Random
  visits: number | undefined
  split: SplitRuns
  order: VisitOrder
  sessionOf: (block: number) => number
}): Answer<Visit[]> {
  const { hard, runs, random, sessionOf } = options
  const others = runs.filter((run) => run.kind !== 'centre')
  const centres = runs.filter((run) => run.kind === 'centre')
  const groups = groupsOf(hard, others, random)
  const own = ownVisits(groups, centres, hard)
  // A design that was made for its visits keeps them.
  if (options.visits !== undefined && others.every((run) => run.visit === undefined)) {
    const wrong = splitGroups(groups, options.visits - own, centres, hard)
    if (wrong !== null) return wrong
  }
  const blocks = [...new Set(groups.map((group) => group.block))]
  const visits: Visit[] = []
  for (const [i, block] of blocks.entries()) {
    const inSession = (other: number | undefined) =>
      other !== undefined && sessionOf(other) === sessionOf(block)
    const reference = options.order.by === 'cost' ? options.order.reference : undefined
    const before = inSession(blocks[i - 1]) ? visits.at(-1)?.key : reference
    const after = inSession(blocks[i + 1]) ? undefined : reference
    const ofBlock = groups.filter((group) => group.block === block)
    visits.push(...arranged(ofBlock, { ...options, before, after }))
  }
  placeCentres(visits, centres, hard)
  return good(visits)
}

function groupsOf(hard: readonly Factor[], runs: readonly DraftRun[], random: Random): Group[] {
  const groups: Group[] = []
  for (const run of runs) {
    const key = settingKey(hard, run)
    let group = groups.find((one) => one.block === run.block && one.key === key && one.own === run.visit)
    if (group === undefined) {
      const fromMiddle = hard.reduce((sum, { name }) => {
        const coded = run.coded[name]
        return sum + (typeof coded === 'number' ? Math.abs(coded) : 0)
      }, 0)
      group = { block: run.block, key, runs: [], fromMiddle, visits: 1, own: run.visit }
      groups.push(group)
    }
    group.runs.push(run)
  }
  return groups
    .sort((a, b) => a.block - b.block)
    .map((group) => ({ ...group, runs: random.shuffled(group.runs) }))
}

/** Visits that centre points need for themselves: two at a setting where no other run is, one for a single. */
function ownVisits(groups: readonly Group[], centres: readonly DraftRun[], hard: readonly Factor[]): number {
  const keys = centres.map((run) => settingKey(hard, run))
  return [...new Set(keys)]
    .filter((key) => groups.every((group) => group.key !== key))
    .reduce((sum, key) => sum + Math.min(2, keys.filter((other) => other === key).length), 0)
}

/** Splits groups until there are so many visits: the least split first, of those the one nearest the middle. */
function splitGroups(
  groups: Group[],
  wanted: number,
  centres: readonly DraftRun[],
  hard: readonly Factor[],
): { ok: false; problems: { code: string; message: string; column?: string }[] } | null {
  if (wanted < groups.length)
    return refuse(
      'tooFewVisits',
      `These runs need at least ${groups.length} visits, one for each hard-to-change setting in each block` +
        `${centres.length > 0 ? ', beside those that centre points need for themselves' : ''}.`,
      { column: 'visits' },
    )
  const room = (group: Group) =>
    group.runs.length + centres.filter((run) => settingKey(hard, run) === group.key).length > group.visits
  for (let extra = wanted - groups.length; extra > 0; extra--) {
    const [next] = groups
      .filter(room)
      .sort((a, b) => a.visits - b.visits || a.fromMiddle - b.fromMiddle || a.block - b.block)
    if (next === undefined)
      return refuse('tooManyVisits', 'There are more visits than runs to make in them.', { column: 'visits' })
    next.visits++
  }
  return null
}

function arranged(
  groups: readonly Group[],
  options: {
    random: Random
    split: SplitRuns
    order: VisitOrder
    before: string | undefined
    after: string | undefined
  },
): Visit[] {
  const { random, split, order: wanted } = options
  const visitsOf = (group: Group): Visit[] => {
    const part = group.visits === 1 ? group.runs.map(() => 1) : split(group.runs, group.visits)
    return Array.from({ length: group.visits }, (_, v) => ({
      block: group.block,
      key: group.key,
      runs: group.runs.filter((_, i) => part[i] === v + 1),
      centres: [],
    }))
  }
  const repeated = groups.filter((group) => group.visits > 1)
  const again = repeated.length === 1 ? visitsOf(repeated[0] as Group) : []
  const others = groups.filter((group) => again.length === 0 || group.visits === 1).flatMap(visitsOf)
  const length = again.length + others.length
  const fixed = new Map(evenPlaces(again.length, length).map((place, i) => [place, again[i] as Visit]))
  if (wanted.by === 'cost') return cheapestOrder({ ...options, cost: wanted.cost, visits: others, fixed })
  let shuffled = random.shuffled(others)
  // The same setting twice in a row would be one visit: drawn again, as long as chance gives a way out.
  for (let attempt = 0; attempt < 500 && twiceInARow(shuffled); attempt++)
    shuffled = random.shuffled(shuffled)
  return Array.from({ length }, (_, place) => (fixed.get(place) ?? shuffled.shift()) as Visit)
}

const twiceInARow = (visits: readonly Visit[]) => visits.some((visit, i) => visit.key === visits[i - 1]?.key)

/** Deals centre points out over the visits at their setting; where there is none, into visits first and last. */
function placeCentres(visits: Visit[], centres: readonly DraftRun[], hard: readonly Factor[]): void {
  for (const key of new Set(centres.map((run) => settingKey(hard, run)))) {
    const guests = centres.filter((run) => settingKey(hard, run) === key)
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
    const places = partsOfGuests(guests.length, homes.length)
    guests.forEach((guest, i) => {
      homes[places[i] as number]?.centres.push(guest)
    })
  }
}
