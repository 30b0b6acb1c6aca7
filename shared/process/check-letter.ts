/** Letters that no hand writes like a digit or like each other's neighbour: no I, O, Q. */
const letters = 'ABCDEFGHJKLMNPRSTUVWXYZ'
/** A primitive root of 23: no two places that lie side by side weigh the same, and none weighs nothing. */
const root = 5

/**
 * The check letter of a substrate's code: a sum of its characters, weighted by place, modulo 23. Within a study it
 * differs for any two codes of which one has a digit, or one of the 23 letters, changed, or two of them that stand
 * side by side exchanged. The study's own part makes it likely that a substrate of another study is noticed too.
 */
export function checkLetter(studyId: string, code: string): string {
  const sum = weighted(code.toUpperCase()) + weighted(studyId.toUpperCase())
  return letters[sum % letters.length] as string
}

/** The code as it is printed, such as W07-K. */
export function codeWithLetter(studyId: string, code: string): string {
  return `${code}-${checkLetter(studyId, code)}`
}

/**
 * The run that someone means who types a code, with its letter or without: its code, or a sentence that asks.
 * Capitals and blanks count for nothing.
 */
export function findCode(
  text: string,
  studyId: string,
  codes: readonly string[],
): { code: string } | { question: string } {
  const typed = text.trim()
  const same = (a: string, b: string) => a.toUpperCase() === b.toUpperCase()
  const whole = codes.find((code) => same(code, typed))
  if (whole !== undefined) return { code: whole }
  const ofLetter = codes.find((code) => same(codeWithLetter(studyId, code), typed))
  if (ofLetter !== undefined) return { code: ofLetter }
  const [bare, letter] = lettered(typed)
  const named = bare === undefined ? undefined : codes.find((code) => same(code, bare))
  if (named === undefined || letter === undefined)
    return { question: `No run here bears the code ‘${typed}’.` }
  const near = codes.filter(
    (code) => checkLetter(studyId, code) === letter.toUpperCase() && isOneSlip(code, named),
  )
  const meant =
    near.length === 0 ? '' : ` Is it ${near.map((code) => codeWithLetter(studyId, code)).join(' or ')}?`
  return {
    question:
      `${named} has the letter ${checkLetter(studyId, named)}, not ${letter.toUpperCase()}.${meant} ` +
      'Look at the substrate again.',
  }
}

/**
 * The run that a file or a pasted block names: a code with the check letter of a known run is that run's, one with
 * another letter is questioned, and whatever else stands there is a code by itself.
 */
export function readCode(
  text: string,
  studyId: string,
  codes: ReadonlySet<string>,
): { code: string } | { question: string } {
  if (codes.has(text)) return { code: text }
  const [bare, letter] = lettered(text)
  if (bare === undefined || letter === undefined || !codes.has(bare)) return { code: text }
  return checkLetter(studyId, bare) === letter.toUpperCase()
    ? { code: bare }
    : findCode(text, studyId, [...codes])
}

/** What stands before a dash and one letter at the end, and the letter; nothing where there is none. */
function lettered(text: string): [string, string] | [] {
  const letter = text.slice(-1)
  const before = text.slice(0, -1).trimEnd()
  const bare = before.slice(0, -1).trimEnd()
  return /[a-z]/i.test(letter) && before.endsWith('-') && bare !== '' ? [bare, letter] : []
}

function weighted(text: string): number {
  let weight = 1
  let sum = 0
  for (const character of [...text].reverse()) {
    sum = (sum + weight * numberOf(character)) % letters.length
    weight = (weight * root) % letters.length
  }
  return sum
}

/** Of a letter its place among the 23, of a digit itself. */
function numberOf(character: string): number {
  const place = letters.indexOf(character)
  if (place >= 0) return place
  return /\d/.test(character) ? Number(character) : (character.codePointAt(0) as number) % letters.length
}

/** One character differs, or two side by side are exchanged. */
function isOneSlip(a: string, b: string): boolean {
  if (a.length !== b.length) return false
  const differ = [...a].flatMap((character, i) => (character === b[i] ? [] : [i]))
  const [first, second] = differ as [number, number]
  if (differ.length === 1) return true
  return differ.length === 2 && second === first + 1 && a[first] === b[second] && a[second] === b[first]
}
