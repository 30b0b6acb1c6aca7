/**
 * A spreadsheet runs a text as a formula where it starts with one of these, wide ones of East Asian script among them. An apostrophe in front makes it
 * plain text there; a text that has the apostrophe of its own gets another, so that reading takes off what
 * writing put on.
 */
const neededBefore = /^[=+\-@\t\r\n'＝＋－＠]/
const putThere = /^'[=+\-@\t\r\n'＝＋－＠]/

/** A text as it may stand in a file that a spreadsheet will open. */
export const neutralized = (text: string): string => (neededBefore.test(text) ? `'${text}` : text)

/** The text that was meant. */
export const asMeant = (text: string): string => (putThere.test(text) ? text.slice(1) : text)
