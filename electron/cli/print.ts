import { shownText, shownWidth } from './shown-text.ts'

/** A table cell: a text stands left, a number (given as text already) right. */
export type Cell = string | null

/** Columns of a printed table: the heading, and whether numbers stand in it (then it is set right). */
export type Heading = string | { text: string; numeric: true }

/** A heading over numbers. */
export const numeric = (text: string): Heading => ({ text, numeric: true })

/** Plain text in aligned columns, two spaces between them; an absent cell is a dash. */
export function printTable(headings: Heading[], rows: Cell[][]): string {
  const heads = headings.map((heading) => shownText(typeof heading === 'string' ? heading : heading.text))
  const shown = rows.map((row) => row.map((cell) => shownText(cell ?? '–')))
  // One by one: a million rows are too many arguments for one call.
  const widths = heads.map((head, c) =>
    shown.reduce((widest, row) => Math.max(widest, shownWidth(row[c] ?? '')), shownWidth(head)),
  )
  const line = (cells: string[]) =>
    cells
      .map((cell, c) => {
        const blank = ' '.repeat(Math.max(0, (widths[c] ?? 0) - shownWidth(cell)))
        return typeof headings[c] === 'string' ? cell + blank : blank + cell
      })
      .join('  ')
      .trimEnd()
  return [line(heads), ...shown.map(line)].join('\n')
}

/** A number to a number of significant digits, never in exponents between 1e-5 and 1e9. */
export function digits(value: number | null | undefined, significant = 5): string {
  if (value === null || value === undefined || Number.isNaN(value)) return '–'
  if (value === 0) return '0'
  const size = Math.floor(Math.log10(Math.abs(value)))
  if (size < -5 || size >= 9) return value.toExponential(Math.max(0, significant - 1))
  return value.toFixed(Math.min(12, Math.max(0, significant - 1 - size)))
}

/** A number to the digits that its uncertainty allows: the uncertainty keeps two of its own. */
export function honest(value: number | null | undefined, uncertainty: number | null | undefined): string {
  if (value === null || value === undefined) return '–'
  if (uncertainty === null || uncertainty === undefined || !(uncertainty > 0)) return digits(value)
  const places = 1 - Math.floor(Math.log10(uncertainty))
  if (places > 12) return digits(value, 12)
  return value.toFixed(Math.max(0, places))
}

/** A p-value: three digits, or ‘< 0.0001’. */
export function probability(p: number | null | undefined): string {
  if (p === null || p === undefined) return '–'
  return p < 0.0001 ? '< 0.0001' : p.toFixed(4)
}

/** A fraction as percent, such as 0.87 as 87 %. */
export function percent(fraction: number | null | undefined, places = 0): string {
  return fraction === null || fraction === undefined ? '–' : `${(100 * fraction).toFixed(places)} %`
}

/** An interval to the digits that its own width allows. */
export function span(interval: readonly [number, number] | null | undefined): string {
  if (!interval) return '–'
  const [low, high] = interval
  return `${honest(low, (high - low) / 4)} to ${honest(high, (high - low) / 4)}`
}

/** Settings as one reads them aloud: speed 3000, time 30. */
export function settingsInWords(settings: Record<string, number | string>): string {
  return Object.entries(settings)
    .map(([name, value]) => `${name} ${typeof value === 'number' ? Number(value.toPrecision(6)) : value}`)
    .join(', ')
}
