import type { SubstrateEvent } from '../contract/materials.ts'

/** A run that coated a substrate; `at` is null where nobody noted when. */
export type Coat = { runId: string; code: string; study: string; lot: string | null; at: string | null }

export type SubstrateEntry =
  | ({ what: 'coat'; over: string | null } & Coat)
  | ({ what: 'event' } & Pick<SubstrateEvent, 'id' | 'kind' | 'at' | 'text'>)

/**
 * What happened to a substrate, in time; coats of an unknown moment come first. A coat says over which film it was laid
 * where that was certainly not stripped off in between.
 *
 * @param coats in the order in which the runs were made
 */
export function substrateHistory(
  coats: readonly Coat[],
  events: readonly Pick<SubstrateEvent, 'id' | 'kind' | 'at' | 'text'>[],
): SubstrateEntry[] {
  const known = coats.filter(({ at }) => at !== null)
  const inTime = [
    ...coats.filter(({ at }) => at === null),
    ...known.sort((a, b) => ((a.at as string) < (b.at as string) ? -1 : 1)),
  ]
  const stripped = events.filter(({ kind }) => kind === 'stripped').map(({ at }) => at)
  const mayBeStripped = (from: string | null, to: string | null) =>
    stripped.some((at) => (from === null || at > from) && (to === null || at < to))
  const laid = inTime.map((coat, i): SubstrateEntry => {
    const before = inTime[i - 1]
    return {
      what: 'coat',
      ...coat,
      over: before && !mayBeStripped(before.at, coat.at) ? before.code : null,
    }
  })
  const entries = [...laid, ...events.map((event): SubstrateEntry => ({ what: 'event', ...event }))]
  // The order of a stable sort leaves coats of an unknown moment where they are: first.
  return entries.sort((a, b) => ((a.at ?? '') < (b.at ?? '') ? -1 : (a.at ?? '') > (b.at ?? '') ? 1 : 0))
}

/** The code of the run whose film is still on the substrate, as far as is known; null where it is bare. */
export function filmOn(entries: readonly SubstrateEntry[]): string | null {
  let film: string | null = null
  for (const entry of entries)
    if (entry.what === 'coat') film = entry.code
    else if (entry.kind === 'stripped') film = null
  return film
}
