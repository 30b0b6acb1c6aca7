/**
 * The order of a lot check in one session: old, new, new, old, and so on, so that a drift that is even over four wafers
 * falls on both lots alike; after an odd number of each the last two are old, new (common practice, no source).
 *
 * @param each wafers of each lot
 */
export function lotCheckOrder(each: number): ('old' | 'new')[] {
  return Array.from({ length: 2 * each }, (_, i) => (i % 4 === 1 || i % 4 === 2 ? 'new' : 'old'))
}
