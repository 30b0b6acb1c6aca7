/**
 * A spreadsheet runs a text as a formula where it starts with one of these, wide ones of East Asian script among them.
 * One that splits at semicolons or tabs, in spite of the commas of the file, sees a start behind each of those too. An
 * apostrophe in front makes it plain text there; a text that has the apostrophe of its own gets another, so that reading
 * takes off what writing put on.
 */
const neededBefore = /(?<=^|[;\t\r\n])(?="*[=+\-@\t\r\n'＝＋－＠])/g
const putThere = /(?<=^|[;\t\r\n])'(?="*[=+\-@\t\r\n'＝＋－＠])/g

/** A text as it may stand in a file that a spreadsheet will open. */
export const neutralized = (text: string): string => text.replace(neededBefore, "'")

/** The text that was meant. */
export const asMeant = (text: string): string => text.replace(putThere, '')
