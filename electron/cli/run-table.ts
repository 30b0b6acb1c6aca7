import type { Plan } from '../../shared/contract/results/plan.ts'
import { writeCsv } from '../engine/files/write-csv.ts'

/** The run table of a plan as CSV, in run order, with headers that the import knows. */
export function runTableCsv({ factors, runs }: Plan): string {
  const sessions = runs.some((run) => run.session !== null)
  const headers = [
    ...['run order', 'standard order', 'block', 'plate visit'],
    ...(sessions ? ['session'] : []),
    'kind',
  ]
  return writeCsv(
    [...headers, ...factors.map(({ name, unit }) => (unit === '' ? name : `${name} (${unit})`))],
    runs.map((run) => [
      run.runOrder,
      run.standardOrder,
      run.block,
      run.plateVisit,
      ...(sessions ? [run.session] : []),
      run.kind,
      ...factors.map(({ name }) => run.settings[name] ?? null),
    ]),
  )
}
