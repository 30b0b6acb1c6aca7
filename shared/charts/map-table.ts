import type { ChartTable } from './chart.ts'
import { fixed, withUnit } from './format.ts'
import type { MapSite } from './wafer-marks.ts'

/** Maps as a table: a row a site with its place and its value; where several runs are shown, each row names its run. */
export function mapTable(
  maps: readonly { name: string | null; sites: readonly MapSite[] }[],
  options: { unit: string; decimals: number },
): ChartTable {
  const several = maps.some(({ name }) => name !== null)
  const columns = [
    'Site',
    withUnit('x', 'mm'),
    withUnit('y', 'mm'),
    withUnit('Thickness', options.unit),
    'Note',
  ]
  return {
    columns: several ? ['Run', ...columns] : columns,
    rows: maps.flatMap(({ name, sites }) =>
      sites.map((site) => [
        ...(several ? [name ?? ''] : []),
        site.site === null ? '–' : String(site.site),
        fixed(site.xMm, 1),
        fixed(site.yMm, 1),
        fixed(site.value, options.decimals),
        noteOf(site),
      ]),
    ),
  }
}

function noteOf({ value, excluded, unsaved }: MapSite): string {
  if (value === null) return 'not read'
  if (excluded !== null) return `left out: ${excluded}`
  return unsaved ? 'not saved yet' : ''
}
