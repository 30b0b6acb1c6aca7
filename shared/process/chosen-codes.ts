import { findCode } from './check-letter.ts'

/** Two codes of at most 200 characters, and what stands around them. */
const longestRange = 500

/**
 * The runs that someone means by a line such as ‘W03, W07–W09’: codes with or without their check letter, and ranges
 * of the list from one code to another; each once, in order of the list. Or a sentence about the first that is none.
 *
 * @param codes all codes of the study in run order
 */
export function chosenCodes(
  text: string,
  studyId: string,
  codes: readonly string[],
): { codes: string[] } | { question: string } {
  const chosen = new Set<string>()
  const rangeIn = (part: string) => {
    const found = findCode(part, studyId, codes)
    return 'code' in found ? ([found.code, found.code] as const) : rangeOf(part, studyId, codes)
  }
  const parts = text
    .split(/[,;]/)
    // A blank parts two runs unless it belongs to a code or stands beside the dash of a range.
    .flatMap((part) => (rangeIn(part) === null ? part.split(/\s+/) : [part]))
    .filter((part) => part.trim() !== '')
  for (const part of parts) {
    const range = rangeIn(part)
    if (range === null) return findCode(part, studyId, codes) as { question: string }
    const [from, to] = range.map((code) => codes.indexOf(code)).sort((a, b) => a - b) as [number, number]
    for (const code of codes.slice(from, to + 1)) chosen.add(code)
  }
  return { codes: codes.filter((code) => chosen.has(code)) }
}

/** The same as the runs themselves, in their order. */
export function chosenRuns<Run extends { code: string }>(
  text: string,
  studyId: string,
  runs: readonly Run[],
): { runs: Run[] } | { question: string } {
  const found = chosenCodes(
    text,
    studyId,
    runs.map(({ code }) => code),
  )
  if ('question' in found) return found
  const wanted = new Set(found.codes)
  return { runs: runs.filter(({ code }) => wanted.has(code)) }
}

/** The codes on both sides of one of the dashes, where both are runs; a code may hold a dash itself. */
function rangeOf(text: string, studyId: string, codes: readonly string[]): [string, string] | null {
  if (text.length > longestRange) return null
  for (const { index } of text.matchAll(/[–-]/g)) {
    const from = findCode(text.slice(0, index), studyId, codes)
    const to = findCode(text.slice(index + 1), studyId, codes)
    if ('code' in from && 'code' in to) return [from.code, to.code]
  }
  return null
}
