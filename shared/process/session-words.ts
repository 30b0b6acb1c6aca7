/** A session by its name, such as `Session 1` or `session Monday`: the word is not said twice. */
export const sessionInWords = (name: string): string => (/^session\b/i.test(name) ? name : `session ${name}`)
