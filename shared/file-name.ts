const mostBytes = 200

/** The ending of a study's file. */
export const studyFileEnding = '.evenfilm'

export const isStudyFileName = (name: string): boolean => name.toLowerCase().endsWith(studyFileEnding)

const encoder = new TextEncoder()

/** Names that Windows keeps for devices, whatever ending follows (its documentation, “Naming Files, Paths, and Namespaces”). */
const device = /^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(?:\.|$)/iu

/**
 * A file name that every system takes, of whatever was suggested, at most 200 bytes long with its ending kept. Separators
 * of folders, control characters and those that turn the direction of writing become spaces.
 */
export function plainFileName(suggested: string): string {
  const name = suggested.replace(/[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_C}\ufeff<>:"/\\|?*]+/gu, ' ')
  const whole = withoutTail(name)
  const ending = /\.[a-z0-9]{1,10}$/iu.exec(whole)?.[0] ?? ''
  const stem = whole.slice(0, whole.length - ending.length)
  const room = mostBytes - ending.length
  const kept = withinBytes(stem, room)
  if (kept === '') return `evenfilm${ending}`
  return (device.test(kept + ending) ? withinBytes(`evenfilm ${kept}`, room) : kept) + ending
}

/** The start of a text that takes at most so many bytes of UTF-8, without dots and spaces around it. */
export function withinBytes(text: string, bytes: number): string {
  // Made where it is needed: it loads the tables of all scripts.
  const characters = new Intl.Segmenter('en', { granularity: 'grapheme' })
  const trimmed = text.replace(/^[\s.]+/u, '')
  let end = 0
  let taken = 0
  for (const { segment } of characters.segment(trimmed)) {
    taken += encoder.encode(segment).length
    if (taken > bytes) break
    end += segment.length
  }
  const kept = end > 0 ? trimmed.slice(0, end) : codePointsWithin(trimmed, bytes)
  return withoutTail(kept)
}

/** Windows drops dots and spaces at the end. */
function withoutTail(text: string): string {
  let end = text.length
  while (end > 0 && /[\s.]/u.test(text.charAt(end - 1))) end--
  return text.slice(0, end)
}

/** For a first character so loaded with marks that it does not fit as a whole. */
function codePointsWithin(text: string, bytes: number): string {
  let kept = ''
  let taken = 0
  for (const point of text) {
    taken += encoder.encode(point).length
    if (taken > bytes) return kept
    kept += point
  }
  return kept
}
