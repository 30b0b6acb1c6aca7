/** Says how far long work has come: `done` of `of` pieces, and in words what is being done. */
export type Tell = (what: string, done: number, of: number) => void

/** Says nothing. */
export const untold: Tell = () => {}

/** Tells of the i-th of so many equal parts of the work. */
export const partOf =
  (tell: Tell, i: number, parts: number): Tell =>
  (what, done, of) =>
    tell(what, i * of + done, parts * of)

/** Word of long work to the page that asked for it. */
export type Progress = { page: string; call: string; what: string; done: number; of: number }

/** The same teller, heard at most every `every` ms, so that telling takes no time from the work. */
export function nowAndThen(tell: Tell, every = 100): Tell {
  let last = Number.NEGATIVE_INFINITY
  return (what, done, of) => {
    const now = performance.now()
    if (now - last < every) return
    last = now
    tell(what, done, of)
  }
}
