/** Where the name of a substrate stands in the names of files: between what goes before it and what comes after. */
export type NameRule = { before: string; after: string }

/** Name of a file without its folder and ending. */
export const stemOf = (fileName: string): string =>
  fileName.replace(/^.*[\\/]/, '').replace(/\.[^.]+$/, '') || 'import'

/** The substrate that a file is of by the rule, or null where its name does not follow it. */
export function runOfFileName(fileName: string, { before, after }: NameRule): string | null {
  const stem = stemOf(fileName)
  const fits = stem.length > before.length + after.length && stem.startsWith(before) && stem.endsWith(after)
  return fits ? stem.slice(before.length, stem.length - after.length) : null
}

/**
 * Guesses where the substrates' names stand: around one that the study knows; else, of several files, between
 * what all their names begin and end with, cut at a sign between words; else the whole name is the substrate's.
 */
export function guessNameRule(fileNames: readonly string[], codes: readonly string[]): NameRule {
  const stems = fileNames.map(stemOf)
  const [first = ''] = stems
  const rules = [...codes]
    .sort((a, b) => b.length - a.length)
    .flatMap((code): NameRule[] => {
      const at = first.indexOf(code)
      const rule = { before: first.slice(0, at), after: first.slice(at + code.length) }
      return at >= 0 && endsWord(rule.before) && startsWord(rule.after) ? [rule] : []
    })
  const known = new Set(codes)
  const found = rules.find((rule) =>
    fileNames.every((name) => known.has(runOfFileName(name, rule) as string)),
  )
  if (found) return found
  if (stems.length < 2) return { before: '', after: '' }
  const before = common(stems, (stem, i) => stem[i])
  const after = common(stems, (stem, i) => stem[stem.length - 1 - i])
  return {
    before: /^(.*[_\-. ])?/s.exec(first.slice(0, before))?.[1] ?? '',
    after: /([_\-. ].*)?$/s.exec(first.slice(first.length - after))?.[1] ?? '',
  }
}

const endsWord = (text: string) => text === '' || !/[\p{L}\p{N}]$/u.test(text)
const startsWord = (text: string) => text === '' || !/^[\p{L}\p{N}]/u.test(text)

/** How many signs all texts share, counted from one end. */
function common(texts: readonly string[], at: (text: string, i: number) => string | undefined): number {
  const shortest = Math.min(...texts.map(({ length }) => length))
  let count = 0
  while (count < shortest && new Set(texts.map((text) => at(text, count))).size === 1) count++
  return count
}
