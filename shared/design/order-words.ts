import type { Factor } from '../contract/things.ts'
import type { OrderedRun } from './design-point.ts'
import { settingKey } from './visits.ts'

/**
 * How the order was made, as sentences for the person at the bench.
 *
 * @param options.placed the new runs in run order; `kept` how many stand before them
 */
export function orderInWords(options: {
  hard: readonly Factor[]
  kept: number
  placed: readonly OrderedRun[]
}): string {
  const { hard, kept, placed } = options
  const blocks = new Set(placed.map((run) => run.block)).size
  const centres = placed.filter((run) => run.kind === 'centre')
  const sentences: string[] = []
  if (kept > 0) sentences.push(`The ${kept} runs already made stand first.`)
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
  const again = [...new Set(order)].filter((setting) => order.filter((other) => other === setting).length > 1)
  // A setting that alone is repeated has its visits placed; the centre points' own visits say so themselves.
  const placedSetting = blocks === 1 && again.length === 1 && order[0] === order.at(-1) ? again[0] : undefined
  sentences.push(
    `${names} ${hard.length > 1 ? 'are' : 'is'} hard to change, so the runs are grouped into ` +
      `${order.length} ${visit}s: ${order.join(' → ')}.`,
    placedSetting === undefined
      ? `The order of the visits is random${blocks > 1 ? ' within each block' : ''}, and so is the order within each.`
      : `${placedSetting} comes first and last, which shows a drift and the error between ${visit}s; the order of ` +
          'the other visits is random, and so is the order within each.',
  )
  if (centres.length > 0) sentences.push(centreWords(placed, visit, hard))
  return sentences.join(' ')
}

function centreWords(placed: readonly OrderedRun[], visit: string, hard: readonly Factor[]): string {
  const centres = placed.filter((run) => run.kind === 'centre')
  const settings = new Set(placed.filter((run) => run.kind !== 'centre').map((run) => settingKey(hard, run)))
  if (centres.some((run) => settings.has(settingKey(hard, run))))
    return (
      'Centre points are not randomized: they stand first, last and evenly between within the ' +
      `${visit}s${hard.some((factor) => factor.kind === 'continuous') ? ' at the middle level' : ''}.`
    )
  return centres.length === 1
    ? `No run is at the middle level, so the centre point has a ${visit} of its own, which comes first.`
    : `No run is at the middle level, so the centre points have ${visit}s of their own: not randomized, ` +
        'half of them in the first visit and half in the last.'
}

/** The settings of the visits in order, as text with units. */
function visitOrder(hard: readonly Factor[], placed: readonly OrderedRun[]): string[] {
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
