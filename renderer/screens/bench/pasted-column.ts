import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { parseThickness, type ThicknessUnit } from '../../../shared/units.ts'

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
 * Cells of a pasted column (or of a pasted row), one a site from `firstSite` on. Of a block with several
 * columns the last one is taken, since a spreadsheet's values stand right of its site numbers. A first line
 * without a digit is a header and is left aside.
 */
export function pastedRows(
  text: string,
  options: {
    sites: { site: number; standing: string | null }[]
    firstSite: number
    unit: ThicknessUnit
  },
): Answer<PastedRow[]> {
  const lines = text.split(/\r\n|\r|\n/).map((line) => line.split('\t').map((cell) => cell.trim()))
  const filled = lines.filter((cells) => cells.some((cell) => cell !== ''))
  const column = filled.length === 1 ? (filled[0] ?? []) : filled.map((cells) => cells.at(-1) ?? '')
  const cells = column[0] !== undefined && !/\d/.test(column[0]) ? column.slice(1) : column
  if (cells.length === 0) return refuse('nothingPasted', 'There is no number in what was pasted.')
  const start = options.sites.findIndex((site) => site.site === options.firstSite)
  const room = options.sites.length - start
  if (cells.length > room)
    return refuse(
      'tooManyCells',
      `${cells.length} numbers were pasted, but from site ${options.firstSite} on there ` +
        `${room === 1 ? 'is 1 site' : `are ${room} sites`}. Nothing was taken.`,
    )
  return good(
    cells.map((cell, k) => {
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
