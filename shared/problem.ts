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
