/** Something that a person can put right: what is wrong, and where. A defect of the program is an exception instead. */
export type Problem = {
  /** Stable word for programs and tests, such as 'notANumber'. */
  code: string
  /** One or two sentences: what is wrong, where, what to do. */
  message: string
  /** Row as a spreadsheet counts it: the header is row 1. */
  row?: number
  /** Name of the column or of the entry field. */
  column?: string
}

/** The answer to a call that a person's input can spoil. */
export type Answer<T> = { ok: true; value: T } | { ok: false; problems: Problem[] }

/** A good answer. */
export function good<T>(value: T): { ok: true; value: T } {
  return { ok: true, value }
}

/** A refusal with one problem. */
export function refuse(
  code: string,
  message: string,
  place: { row?: number; column?: string } = {},
): { ok: false; problems: Problem[] } {
  return { ok: false, problems: [{ code, message, ...place }] }
}

/** What is shown of one refusal: problems, and characters of each message. */
const [mostProblems, longestMessage] = [1000, 1000]

/**
 * Problems as a page or a terminal can show them: of a long message its beginning and its end, for it may quote what
 * somebody has written; of very many problems the first.
 */
export function inBrief(problems: readonly Problem[]): Problem[] {
  const shown = problems.slice(0, mostProblems).map((problem) => ({
    ...problem,
    message: shortened(problem.message),
    ...(problem.column === undefined ? {} : { column: shortened(problem.column) }),
  }))
  const more = problems.length - shown.length
  return more > 0 ? [...shown, { code: 'moreProblems', message: `There are ${more} more.` }] : shown
}

const shortened = (text: string): string =>
  text.length <= longestMessage
    ? text
    : `${text.slice(0, longestMessage - 200).trimEnd()} … ${text.slice(-200).trimStart()}`
