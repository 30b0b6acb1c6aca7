import type { Reading } from '../contract/things.ts'
import { siteMeans } from './site-means.ts'

/** A site as the map and the figures show it: the mean of its repeats that count. */
export type ReadSite = {
  site: number | null
  xMm: number | null
  yMm: number | null
  valueNm: number | null
  /** Reason, where nothing of it counts. */
  excluded: string | null
  /** Whether something is typed here that is not saved. */
  unsaved: boolean
}

/** A line of readings: what is kept, and whether something else is typed over it, with what is wrong with that. */
type ReadRow = Pick<Reading, 'site' | 'xMm' | 'yMm'> & {
  valueNm: number | null
  reading: Pick<Reading, 'excluded'> | null
  changes: boolean
  problem: unknown
}

/** The sites of the lines, drafts included; a line without a site is one of its own. */
export function readSites(rows: readonly ReadRow[]): ReadSite[] {
  const bySite = new Map<number | ReadRow, ReadRow[]>()
  for (const row of rows) {
    const key = row.site ?? row
    const own = bySite.get(key)
    if (own) own.push(row)
    else bySite.set(key, [row])
  }
  return [...bySite.values()].map((own) => {
    const { site, xMm, yMm } = own[0] as ReadRow
    const counting = own.filter((row) => row.changes || !row.reading?.excluded)
    const [mean] = siteMeans(
      (counting.length > 0 ? counting : own).flatMap(({ valueNm }) =>
        valueNm === null ? [] : [{ site: 0, x: xMm, y: yMm, value: valueNm }],
      ),
    )
    return {
      ...{ site, xMm, yMm },
      valueNm: mean?.value ?? null,
      excluded: counting.length > 0 ? null : (own[0]?.reading?.excluded ?? null),
      unsaved: own.some((row) => row.changes && row.problem === null),
    }
  })
}
