import { type ThicknessUnit, thicknessUnits } from '../../../shared/units.ts'

/** What a store of texts must offer; localStorage does. */
type TextStore = Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>

const draftPrefix = 'evenfilm.draft '
const unitPrefix = 'evenfilm.bareUnit '

/** Texts that were typed and not taken, by run and site, as an earlier page left them. */
export function keptDrafts(store: TextStore): Record<string, string> {
  const keys = Array.from({ length: store.length }, (_, i) => store.key(i) ?? '')
  return Object.fromEntries(
    keys
      .filter((key) => key.startsWith(draftPrefix))
      .map((key) => [key.slice(draftPrefix.length), store.getItem(key) ?? '']),
  )
}

/** Keeps the drafts as they are now; only what differs from before is written, since other pages keep theirs here too. */
export function keepDrafts(
  store: TextStore,
  now: Readonly<Record<string, string>>,
  before: Readonly<Record<string, string>>,
): void {
  for (const [place, text] of Object.entries(now))
    if (before[place] !== text) store.setItem(draftPrefix + place, text)
  for (const place of Object.keys(before)) if (!(place in now)) store.removeItem(draftPrefix + place)
}

/** The unit chosen for bare numbers in a study, or null where none was. */
export function keptUnit(store: TextStore, studyId: string | null): ThicknessUnit | null {
  const kept = studyId === null ? null : store.getItem(unitPrefix + studyId)
  return thicknessUnits.find((unit) => unit === kept) ?? null
}

/** Keeps the unit of bare numbers for a study. */
export function keepUnit(store: TextStore, studyId: string | null, unit: ThicknessUnit): void {
  if (studyId !== null) store.setItem(unitPrefix + studyId, unit)
}
