/** What was made of late on this thread, by what it was made from; the latest last. */
const kept = new Map<string, unknown>()
/** A study's fits of some kinds and models, and the spreads of earlier studies. */
const most = 16

/**
 * What `make` makes of `from`, or what it made the last time: a curve, a surface and a recommendation of the same fit then
 * make it once. The key is all of `from` written out, data included, so that nothing that has changed is ever taken for
 * what it was before, and nobody has to say that it changed.
 *
 * @param from all that `make` uses, as plain data
 */
export function keptBy<T>(from: unknown, make: () => T): T {
  const key = JSON.stringify(from)
  const before = kept.get(key) as T | undefined
  const made = before ?? make()
  kept.delete(key)
  kept.set(key, made)
  for (const oldest of kept.keys()) if (kept.size > most) kept.delete(oldest)
  return made
}
