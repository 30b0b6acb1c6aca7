import { soft, table } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'

/** Runs and readings that do not count, each with its reason. */
export function exclusions({ runs, readings }: ReportData): (Html | null)[] {
  const own = new Map(readings.map((each) => [each.runId, each.readings]))
  const rows = runs.flatMap((run) => {
    const why =
      run.excluded ??
      (run.state === 'dropped'
        ? 'The run was dropped.'
        : run.state === 'failed'
          ? `The coat failed: ${run.defect ?? 'not said how'}.`
          : null)
    const left = (own.get(run.id) ?? []).filter(({ excluded }) => excluded !== null)
    // What the program leaves out by itself, such as a site beyond the edge exclusion, stands in the film's summary.
    const known = new Set(left.map(({ excluded }) => excluded))
    return [
      ...(why === null ? [] : [[run.code, 'the whole run', '', why]]),
      ...left.map(({ site, xMm, yMm, text, unit, excluded }) => [
        run.code,
        site === null
          ? xMm === null || yMm === null
            ? 'a reading'
            : `at ${xMm}, ${yMm} mm`
          : `site ${site}`,
        `${text} ${unit}`,
        excluded ?? '',
      ]),
      ...(run.film?.excluded ?? [])
        .filter(({ reason }) => !known.has(reason))
        .map(({ reason }) => [run.code, 'a reading', '', reason]),
    ]
  })
  if (rows.length === 0) return [soft('Nothing was left out.')]
  return [
    table(
      'What was left out, and why',
      [{ label: 'Run' }, { label: 'What' }, { label: 'As typed' }, { label: 'Reason' }],
      rows,
    ),
  ]
}
