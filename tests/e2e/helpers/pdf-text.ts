import { constants, inflateSync } from 'node:zlib'

/** A page of a PDF: its size in points, and its text as it is drawn, without blanks, which a drawing has none of. */
export type PdfPage = { width: number; height: number; text: string }

/**
 * Reads the pages of a PDF as Chromium writes it (PDF 1.4: plain objects, deflated streams, fonts of two-byte glyphs
 * with a table to Unicode). ISO 32000-1, 7.3, 9.4 and 9.10.
 */
export function pagesOfPdf(file: Buffer): PdfPage[] {
  const text = file.toString('latin1')
  const objects = new Map<string, string>()
  for (const [, number = '', body = ''] of text.matchAll(/(?:^|\n)(\d+) 0 obj\s([\s\S]*?)\nendobj/g))
    objects.set(number, body)
  const streamOf = (number: string) => {
    const found = /\bstream\r?\n([\s\S]*?)\r?\nendstream/.exec(objects.get(number) ?? '')
    // The end of line before `endstream` is no part of the data, whose own last byte may look like one.
    const finishFlush = constants.Z_SYNC_FLUSH
    const data = found?.[1] === undefined ? null : Buffer.from(found[1], 'latin1')
    return data === null ? '' : inflateSync(data, { finishFlush }).toString('latin1')
  }
  const glyphsOf = (font: string) => {
    const table = /\/ToUnicode (\d+) 0 R/.exec(objects.get(font) ?? '')
    return table?.[1] === undefined ? new Map<string, string>() : unicodeOf(streamOf(table[1]))
  }
  return [...objects.values()]
    .filter((body) => /\/Type \/Page\b/.test(body))
    .map((body) => {
      const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(body) ?? []
      const fonts = new Map(
        [...body.matchAll(/\/(F\d+) (\d+) 0 R/g)].map(([, name = '', font = '']) => [name, glyphsOf(font)]),
      )
      const drawn = streamOf(/\/Contents (\d+) 0 R/.exec(body)?.[1] ?? '')
      let glyphs = new Map<string, string>()
      let page = ''
      for (const [whole, font] of drawn.matchAll(/\/(F\d+) [\d.]+ Tf|<[0-9A-F]+>|\[[^\]]*\] TJ/g)) {
        if (font !== undefined) glyphs = fonts.get(font) ?? new Map()
        else for (const [, hex = ''] of whole.matchAll(/<([0-9A-F]+)>/g)) page += decoded(hex, glyphs)
      }
      return { width: Number(width), height: Number(height), text: page.replace(/\s/g, '') }
    })
}

const decoded = (hex: string, glyphs: Map<string, string>) =>
  (hex.match(/.{4}/g) ?? []).map((glyph) => glyphs.get(glyph) ?? '').join('')

/** The table of a font from glyph to text: single glyphs, and ranges that count on. */
function unicodeOf(table: string): Map<string, string> {
  const glyphs = new Map<string, string>()
  const character = (hex: string) =>
    String.fromCharCode(...(hex.match(/.{4}/g) ?? []).map((unit) => Number.parseInt(unit, 16)))
  for (const [, lines = ''] of table.matchAll(/beginbfchar([\s\S]*?)endbfchar/g))
    for (const [, glyph = '', to = ''] of lines.matchAll(/<([0-9A-F]{4})> <([0-9A-F]+)>/g))
      glyphs.set(glyph, character(to))
  for (const [, lines = ''] of table.matchAll(/beginbfrange([\s\S]*?)endbfrange/g))
    for (const [, from = '', to = '', start = ''] of lines.matchAll(
      /<([0-9A-F]{4})> <([0-9A-F]{4})> <([0-9A-F]{4})>/g,
    )) {
      const [first, last] = [Number.parseInt(from, 16), Number.parseInt(to, 16)]
      for (let glyph = first; glyph <= last; glyph++)
        glyphs.set(
          glyph.toString(16).toUpperCase().padStart(4, '0'),
          String.fromCharCode(Number.parseInt(start, 16) + glyph - first),
        )
    }
  return glyphs
}
