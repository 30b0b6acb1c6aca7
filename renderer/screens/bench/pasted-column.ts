import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { parseThickness, type ThicknessUnit } from '../../../shared/units.ts'
import { words } from './words/read.ts'

/** One pasted cell beside the site that it would go to. */
export type PastedRow = {
  site: number
  text: string
  valueNm: number | null
  problem: string | null
  /** Text of the reading that it would supersede. */
  supersedes: string | null
}

/**
 * Cells of a pasted column (or of a pasted row), one a site from `firstSite` on. A cell left empty keeps its place:
 * its site gets nothing. Of two columns the first must be the numbers of those sites; anything else is refused,
 * since no one can tell which column is meant. A first line without a digit is a header and is left aside.
 */
export function pastedRows(
  text: string,
  options: {
    sites: { site: number; standing: string | null }[]
    firstSite: number
    unit: ThicknessUnit
  },
): Answer<PastedRow[]> {
  const start = options.sites.findIndex((site) => site.site === options.firstSite)
  const answer = cellsOf(
    text,
    options.sites.slice(start).map(({ site }) => String(site)),
  )
  if (!answer.ok) return answer
  const cells = answer.value
  const room = options.sites.length - start
  if (cells.length > room)
    return refuse('tooManyCells', words.tooManyCells(cells.length, options.firstSite, room))
  return good(
    cells.flatMap((cell, k) => {
      if (cell === '') return []
      const { site, standing } = options.sites[start + k]!
      const typed = parseThickness(cell, { unit: options.unit })
      return {
        site,
        text: cell,
        valueNm: typed.ok ? typed.value.valueNm : null,
        problem: typed.ok ? null : (typed.problems[0]?.message ?? null),
        supersedes: standing,
      }
    }),
  )
}

/** The one column of what was pasted, empty cells between others included. */
function cellsOf(text: string, sites: string[]): Answer<string[]> {
  const lines = text.split(/\r\n|\r|\n/).map((line) => line.split('\t').map((cell) => cell.trim()))
  const isEmpty = (cells: string[]) => cells.every((cell) => cell === '')
  while (lines.length > 0 && isEmpty(lines.at(-1) ?? [])) lines.pop()
  while (lines.length > 0 && isEmpty(lines[0] ?? [])) lines.shift()
  const first = lines[0]
  if (first && lines.length > 1 && !first.some((cell) => /\d/.test(cell))) lines.shift()
  if (lines.length === 0 || !lines.flat().some((cell) => /\d/.test(cell)))
    return refuse('nothingPasted', words.nothingPasted)
  if (lines.length === 1) return good(withoutHeader(lines[0] ?? []))
  const width = Math.max(...lines.map((cells) => cells.length))
  if (width === 1) return good(lines.map(([cell = '']) => cell))
  const numbered = lines.every(([number = ''], k) => number === sites[k] || number === '')
  if (width === 2 && numbered) return good(lines.map((cells) => cells[1] ?? ''))
  return refuse('severalColumns', words.severalColumns(width))
}

const withoutHeader = (cells: string[]) =>
  cells[0] !== undefined && !/\d/.test(cells[0]) && cells[0] !== '' ? cells.slice(1) : cells
