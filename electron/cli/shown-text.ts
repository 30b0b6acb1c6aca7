import { rightToLeftApart } from '../../shared/right-to-left.ts'

/** Signs that a terminal would obey, or that turn the direction of what follows, instead of being shown. */
const obeyed = /[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_C}]/gu
const wide =
  /^[\p{Emoji_Presentation}\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\u3000-\u303f\uff01-\uff60]|\ufe0f/u
const plain = /^[ -~]*$/

const characters = new Intl.Segmenter('en', { granularity: 'grapheme' })

/** A text of whatever origin as it stands within one line: what a terminal would obey is shown as a picture or a code. */
export const shownText = (text: string): string =>
  plain.test(text) ? text : text.replaceAll(obeyed, pictureOf)

/** All that goes out to a terminal. */
export const shownLines = (text: string): string =>
  rightToLeftApart(text.split('\n').map(shownText).join('\n'))

/** A document of JSON with codes in place of the signs that a terminal would obey; read, it is the same document. */
export const shownJson = (document: unknown): string =>
  JSON.stringify(document, null, 2).replaceAll(obeyed, (sign) => (sign === '\n' ? sign : codeOf(sign)))

/** The columns that a text takes in a terminal: two for East Asian signs and emoji, none for marks alone. */
export function shownWidth(text: string): number {
  if (plain.test(text)) return text.length
  let columns = 0
  for (const { segment } of characters.segment(text))
    columns += wide.test(segment) ? 2 : /^[\p{M}\p{Cf}]+$/u.test(segment) ? 0 : 1
  return columns
}

/** The picture that Unicode has for the sign (U+2400 and on), or else its code. */
function pictureOf(sign: string): string {
  const code = sign.charCodeAt(0)
  if (code < 0x20) return String.fromCharCode(0x2400 + code)
  return code === 0x7f ? '\u2421' : codeOf(sign)
}

const codeOf = (sign: string) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`
