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
  /** Whether the visits stand in the order with the least waiting. */
  cheapest: boolean
}): string {
  const { hard, kept, cheapest } = options
  const placed = options.placed.filter((run) => run.kind !== 'reference')
  const blocks = new Set(placed.map((run) => run.block)).size
  const centres = placed.filter((run) => run.kind === 'centre')
  const sentences: string[] = []
  if (kept > 0) sentences.push(`The ${kept} runs already made stand first.`)
  sentences.push(...sessionWords(options.placed))
  const sessions = new Set(placed.map((run) => run.session)).size
  if (blocks > 1 && blocks !== sessions) sentences.push(`The ${blocks} blocks are run one after another.`)
  const within = blocks === sessions ? 'session' : 'block'
  if (hard.length === 0) {
    sentences.push(
      blocks > 1 ? `Within each ${within} the order is random.` : 'The runs are in random order.',
    )
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
  const rest = placedSetting === undefined ? 'the visits' : 'the other visits'
  const drawn = cheapest
    ? `the order of ${rest} is the one with the least waiting, so a steady drift may look like an effect of ${names}; ` +
      'the order within each is random.'
    : `the order of ${rest} is random${blocks > 1 ? ` within each ${within}` : ''}, and so is the order within each.`
  sentences.push(
    `${names} ${hard.length > 1 ? 'are' : 'is'} hard to change, so the runs are grouped into ` +
      `${order.length} ${visit}s: ${order.join(' → ')}.`,
    placedSetting === undefined ? capital(drawn) : `${placedSetting} comes first and last; ${drawn}`,
    ...repeatWords(again, order, visit, names),
  )
  if (centres.length > 0) sentences.push(centreWords(placed, visit, hard))
  return sentences.join(' ')
}

/** How the sessions are filled, and what they are good for. */
function sessionWords(placed: readonly OrderedRun[]): string[] {
  const sessions = new Set(placed.flatMap((run) => run.session ?? [])).size
  const words: string[] = []
  if (sessions === 1)
    words.push(
      'All runs are made in one session, so what the day does cannot be told from what is common to all.',
    )
  if (sessions > 1)
    words.push(
      `The runs are spread over ${sessions} sessions, each with its share of the design, so that what the day does can ` +
        `be estimated${sessions === 2 ? ', roughly: two days show a gross difference' : ''}.`,
    )
  if (placed.some((run) => run.kind === 'reference'))
    words.push(
      'A reference wafer by the recipe of the study stands first and last in each session: results can be shown as a ' +
        'ratio to it, and the fit uses it as a run at those settings.',
    )
  return words
}

/** What visits that come again can tell: the more of them, the better the error between visits is known. */
function repeatWords(
  again: readonly string[],
  order: readonly string[],
  visit: string,
  names: string,
): string[] {
  const spare = order.length - new Set(order).size
  if (again.length === 0) return []
  return spare === 1
    ? [
        `One setting that is repeated is enough to notice a gross drift between ${visit}s, and not to test ${names}: ` +
          'that would rest on one degree of freedom.',
      ]
    : [`Settings that come again show a drift and the error between ${visit}s.`]
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

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}
