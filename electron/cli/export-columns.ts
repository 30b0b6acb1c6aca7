import { readingStages } from '../../shared/contract/choices.ts'
import type { ReadingStage } from '../../shared/contract/things.ts'
import { siteKey } from '../../shared/film/site-means.ts'
import type { FileTable } from './table-file.ts'

/**
 * What our own export of readings says beside the value: the quantity, its unit, what was left out, and how a row was
 * read. Rows of one site are repeats where a column numbers them.
 */
export function exportColumns(file: FileTable) {
  const cells = (name: string) => {
    const column = file.table.columns.find((each) => each.name === name)
    return column ? file.cells(column).map((cell) => cell.trim()) : null
  }
  const quantity = cells('quantity')
  const kinds = new Set(quantity ?? [])
  const wanted = kinds.has('thickness') ? 'thickness' : ([...kinds][0] ?? '')
  const first = quantity?.indexOf(wanted) ?? -1
  const numbered = cells('repeat') !== null
  const sites = cells('site')
  const stages = cells('taken after')?.map((cell) => readingStages.find((stage) => stage === cell) ?? null)
  const named = [...new Set(stages?.filter((stage) => stage !== null))]
  return {
    ...{ quantity, wanted, excluded: cells('excluded') },
    unit: (first >= 0 && cells('unit')?.[first]) || '',
    /** The stage of all rows, where they name one alone. */
    onlyStage: named.length === 1 ? (named[0] ?? null) : null,
    howRead(row: number, xMm: number | null, yMm: number | null) {
      const number = sites?.[row] ? Number(sites[row]) : null
      const takenAfter: ReadingStage | null = stages?.[row] ?? null
      return { takenAfter, site: numbered ? siteKey({ site: number, xMm, yMm }) : null }
    },
  }
}
