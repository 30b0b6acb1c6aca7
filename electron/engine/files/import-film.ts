import type { Study } from '../../../shared/contract/things.ts'
import { siteMap } from '../../../shared/film/site-map.ts'
import type { Problem } from '../../../shared/problem.ts'
import { type ImportRun, placeOf } from './import-runs.ts'
import { noThickness } from './no-thickness.ts'

/** A site may lie this far beyond the rim before its position is called wrong, mm. */
const rimTolerance = 0.5

/**
 * Gives sites their positions from the study's map and looks at each reading of the film: zero and negative ones
 * get marked as excluded, those beyond the edge exclusion are named (the summary leaves them out), and a place
 * that is not on the substrate is a problem.
 */
export function placeReadings(
  runs: readonly ImportRun[],
  study: Pick<Study, 'diameterMm' | 'edgeExclusionMm' | 'siteMap'>,
): { flagged: Problem[]; problems: Problem[] } {
  const flagged: Problem[] = []
  const problems: Problem[] = []
  const sites = new Map(siteMap({ ...study, name: study.siteMap }).map((site) => [site.site, site]))
  const radius = study.diameterMm / 2
  for (const run of runs)
    for (const reading of run.readings) {
      const { row, column } = reading
      const mapped = reading.site === null ? undefined : sites.get(reading.site)
      if (reading.site !== null && reading.xMm === null && reading.yMm === null) {
        if (mapped) Object.assign(reading, { xMm: mapped.xMm, yMm: mapped.yMm })
        else
          problems.push({
            code: 'noSuchSite',
            message: `Row ${row}, ${column}: the site map ${study.siteMap} has no site ${reading.site}, and the file no position.`,
            row,
            column,
          })
      }
      const r = reading.xMm === null || reading.yMm === null ? null : Math.hypot(reading.xMm, reading.yMm)
      if (r !== null && r > radius + rimTolerance)
        problems.push({
          code: 'offSubstrate',
          message:
            `Row ${row}: ${placeOf({ ...reading, site: null })} is not on a substrate of ${study.diameterMm} mm. ` +
            'Positions count from its centre, in mm.',
          row,
        })
      if (reading.quantity !== 'thickness') continue
      const reason = noThickness(reading.value)
      if (reason && reading.excluded === null) reading.excluded = reason
      if (reason) flagged.push({ code: 'notPositive', message: `Row ${row}: ${reason}`, row, column })
      else if (r !== null && r > radius - study.edgeExclusionMm + 1e-6)
        flagged.push({
          code: 'beyondEdge',
          message: `Row ${row}: ${r.toFixed(1)} mm from the centre, beyond the edge exclusion.`,
          row,
          column,
        })
    }
  return { flagged, problems }
}
