/**
 * Widths of the printable ASCII characters from the space on, thousandths of the font's size: the metrics that Adobe
 * published for Helvetica (Core 14 AFM files), from memory. Usual sans-serif faces are up to an eighth wider.
 */
const widths = [
  278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
  556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
  500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
  556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
  278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
]
const firstCharacter = 32
/** Of a character that the list does not hold: a wide one, so that room is rather too large. */
const otherWidth = 650
const widest = 1.125

/**
 * How wide a text is about, px, where nothing can draw it: on the command line. In the page the browser measures.
 *
 * @param font as the 2D canvas takes it, such as `bold 13px sans-serif`
 */
export function textWidth(text: string, font: string): number {
  const size = Number(/([\d.]+)px/.exec(font)?.[1] ?? 10)
  const bold = /\b(bold|[6-9]00)\b/.test(font) ? 1.06 : 1
  let sum = 0
  for (const character of text) sum += widths[(character.codePointAt(0) ?? 0) - firstCharacter] ?? otherWidth
  return (sum * size * bold * widest) / 1000
}
