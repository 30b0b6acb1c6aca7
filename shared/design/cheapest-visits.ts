import type { Factor } from '../contract/things.ts'
import { type BenchFigures, plateWait, usualPlateRates } from '../process/budget.ts'
import type { Visit } from './visits.ts'

/** Minutes from the setting of one visit to that of another, each as {@link settingKey} writes it. */
export type VisitCost = (from: string, to: string) => number

/** Up to so many visits the cheapest order is found among all; beyond, the nearest comes next. */
const mostCompared = 12

/**
 * What a change of the hard factors costs: the wait for the plate, at the usual rates where none are known, and a
 * minute for any other factor that changes, so that the fewest changes win.
 */
export function visitCost(hard: readonly Factor[], bench: BenchFigures): VisitCost {
  const rates = bench.hotPlate ?? usualPlateRates
  return (fromKey, toKey) => {
    const [from, to] = [fromKey, toKey].map((key) => JSON.parse(key) as (number | string)[])
    return hard.reduce((sum, factor, f) => {
      const [a, b] = [from?.[f], to?.[f]]
      if (a === b) return sum
      const isPlate = factor.role === 'bake temperature' && typeof a === 'number' && typeof b === 'number'
      return sum + (isPlate ? plateWait(a, b, rates) : 1)
    }, 0)
  }
}

/**
 * The visits of a block in the order that costs least, by dynamic programming over the sets of visits made (Held & Karp,
 * J. SIAM 10 (1962) 196–210; from memory). Two visits at one setting never follow each other where that can be had.
 *
 * @param options.fixed visits that keep their place, by place
 * @param options.before the setting before the first visit, and `after` that behind the last, where there are any
 */
export function cheapestOrder(options: {
  visits: readonly Visit[]
  fixed: ReadonlyMap<number, Visit>
  cost: VisitCost
  before: string | undefined
  after: string | undefined
}): Visit[] {
  const { visits: free, fixed, cost, before, after } = options
  const length = free.length + fixed.size
  /** Going on at the same setting would make one visit of two. */
  const step = (from: string, to: string) => (from === to ? joined : cost(from, to))
  const ending = (last: string) => (after === undefined || after === last ? 0 : cost(last, after))
  const starting = (first: string) => (before === undefined || before === first ? 0 : cost(before, first))
  if (free.length > mostCompared)
    return nearestNext(free, fixed, (from, to) => (from === undefined ? starting(to) : step(from, to)))

  type Way = { minutes: number; order: Visit[] }
  let ways = new Map<string, Way>([['0 -1', { minutes: 0, order: [] }]])
  for (let place = 0; place < length; place++) {
    const longer = new Map<string, Way>()
    const held = fixed.get(place)
    for (const [state, way] of ways) {
      const made = Number(state.split(' ')[0])
      const candidates = held ? [held] : free.filter((_, i) => (made & (1 << i)) === 0)
      for (const visit of candidates) {
        const now = held ? made : made | (1 << free.indexOf(visit))
        const last = way.order.at(-1)
        const travel = last === undefined ? starting(visit.key) : step(last.key, visit.key)
        const minutes = way.minutes + travel + (place === length - 1 ? ending(visit.key) : 0)
        const key = `${now} ${held ? -1 : free.indexOf(visit)}`
        const known = longer.get(key)
        if (known === undefined || minutes < known.minutes - 1e-9)
          longer.set(key, { minutes, order: [...way.order, visit] })
      }
    }
    ways = longer
  }
  const [best] = [...ways.values()].sort((a, b) => a.minutes - b.minutes)
  return best?.order ?? []
}

/** Worth more than any wait. */
const joined = 1e6

function nearestNext(
  free: readonly Visit[],
  fixed: ReadonlyMap<number, Visit>,
  step: (from: string | undefined, to: string) => number,
): Visit[] {
  const left = [...free]
  const order: Visit[] = []
  while (left.length > 0 || fixed.has(order.length)) {
    const from = order.at(-1)?.key
    const next =
      fixed.get(order.length) ??
      left.reduce((near, visit) => (step(from, visit.key) < step(from, near.key) ? visit : near))
    if (!fixed.has(order.length)) left.splice(left.indexOf(next), 1)
    order.push(next)
  }
  return order
}
