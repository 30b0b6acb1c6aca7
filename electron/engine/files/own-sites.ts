import type { Args, Result } from '../../../shared/contract.ts'
import { siteProblem } from '../../../shared/film/check-substrate.ts'
import type { Site } from '../../../shared/film/site-map.ts'
import type { Problem } from '../../../shared/problem.ts'
import { type ColumnMeaning, guessMeanings } from './column-meaning.ts'
import { type CsvTable, inspectCsv } from './csv.ts'
import { meantColumns, withGuessedUnits } from './import-columns.ts'
import { guessAxes, placeOn } from './import-positions.ts'
import { RowCells } from './row-cells.ts'
import { placeIn } from './row-readings.ts'

/** The most sites of a map of one's own. */
const mostSites = 500

/**
 * Reads a map of one's own as the import reads positions: units from the headers or by their size, origin in the centre
 * or at the lower left. Sites without numbers are counted in their order; without a header the columns are site, x and y,
 * or x and y.
 */
export function readOwnSites({ text, substrate, options }: Args<'sites.read'>): Result<'sites.read'> {
  const { unit, ...axesSaid } = options
  const nothing = (problems: Problem[]): Result<'sites.read'> => ({
    ...{ sites: [], unit: unit ?? 'mm', origin: 'centre', yAxis: 'up', ...axesSaid },
    problems,
  })
  const named = inspectCsv(text)
  const isBare = named.problems.some(({ code }) => code === 'noHeader')
  const { table, problems } = isBare ? inspectCsv(text, { noHeader: true }) : named
  if (!table) return nothing(problems)
  const meanings = isBare ? meaningsInOrder(table) : guessMeanings(table, [])
  const found = new Set(meanings.map(({ means }) => means))
  if (!(found.has('x') && found.has('y')) && !(found.has('radius') && found.has('angle')))
    return nothing([...problems, noPositions(table)])
  const columns = meantColumns(
    table,
    withGuessedUnits(table, unit ? withUnit(meanings, unit) : meanings, substrate),
  )
  const cells = new RowCells(columns)
  const placed = table.rows.map((row, i) => {
    cells.turnTo(row)
    const place = placeIn(cells)
    return { row: row.row, ...place, site: found.has('site') ? place.site : i + 1 }
  })
  const map = { ...substrate, siteMap: 'own' as const }
  const axes = { ...guessAxes(placed, map), ...axesSaid }
  const on = placeOn(axes, substrate)
  const asked = columns.flatMap(({ means, doubt }) =>
    doubt && ['site', 'x', 'y', 'radius', 'angle'].includes(means) ? [doubt] : [],
  )
  const refused: Problem[] = [...problems, ...asked, ...cells.problems]
  const sites: Site[] = []
  for (const { row, site, xMm, yMm } of placed) {
    if (refused.some((problem) => problem.row === row)) continue
    if (site === null || xMm === null || yMm === null) {
      const what = site === null ? 'the number of the site' : 'the position'
      refused.push({ code: 'missing', message: `Row ${row}: ${what} is missing.`, row })
      continue
    }
    const here = { site, xMm: on.x(xMm), yMm: on.y(yMm) }
    const problem = siteProblem(here, sites, substrate)
    if (problem) refused.push({ ...problem, message: `Row ${row}: ${problem.message}`, row })
    else sites.push(here)
  }
  if (sites.length > mostSites)
    refused.push({
      code: 'tooManySites',
      message: `A map holds up to ${mostSites} sites, not ${sites.length}.`,
    })
  const shownUnit = columns.find(({ means }) => means === 'x' || means === 'radius')?.unit || 'mm'
  refused.sort((a, b) => (a.row ?? 0) - (b.row ?? 0))
  return { sites: sites.slice(0, mostSites), unit: shownUnit, ...axes, problems: refused }
}

/** The unit that a person says, for positions whose headers name none. */
function withUnit(meanings: readonly ColumnMeaning[], unit: string): ColumnMeaning[] {
  const isOpen = ({ means, unit: own }: ColumnMeaning) => ['x', 'y', 'radius'].includes(means) && own === ''
  return meanings.map((meaning) => (isOpen(meaning) ? { ...meaning, unit } : meaning))
}

function meaningsInOrder({ columns }: CsvTable): ColumnMeaning[] {
  const order = columns.length === 2 ? (['x', 'y'] as const) : (['site', 'x', 'y'] as const)
  return order.flatMap((means, i) => {
    const column = columns[i]
    return column ? [{ column: column.header, means, name: '', unit: '' }] : []
  })
}

function noPositions({ columns }: CsvTable): Problem {
  return {
    code: 'noPositions',
    message:
      `No columns of positions among ${columns.map(({ header }) => `‘${header}’`).join(', ')}: ` +
      'name them x and y, or radius and angle.',
  }
}
