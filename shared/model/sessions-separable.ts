/**
 * Whether the shift of the days can be told from the shift of the lots: the runs come from two sessions or
 * more, and at least one session holds two lots.
 */
export function sessionsSeparable(runs: { lot: unknown; session: unknown }[]): boolean {
  const lotsOf = new Map<unknown, Set<unknown>>()
  for (const { lot, session } of runs) {
    if (lot == null || session == null) return false
    lotsOf.set(session, (lotsOf.get(session) ?? new Set()).add(lot))
  }
  return lotsOf.size > 1 && [...lotsOf.values()].some((lots) => lots.size > 1)
}
