/**
 * Lots with how many runs each has: as the study names them, so that its first is the reference, then in order of
 * appearance.
 *
 * @param ofRuns the lot of each run, where it has one
 */
export function lotsInOrder(
  ofRuns: readonly unknown[],
  named: readonly string[],
): { name: string; count: number }[] {
  const counts = new Map(named.map((name) => [name, 0]))
  for (const lot of ofRuns) if (typeof lot === 'string') counts.set(lot, (counts.get(lot) ?? 0) + 1)
  return [...counts].flatMap(([name, count]) => (count > 0 ? [{ name, count }] : []))
}
