import { type MappedSubstrate, mapName, studySites } from '../../../shared/film/site-map.ts'
import { beyondEdge, fromEdge, sizeInWords } from '../../../shared/film/substrate.ts'
import type { Problem } from '../../../shared/problem.ts'
import { rim } from './import-positions.ts'
import { type ImportRun, placeOf } from './import-runs.ts'
import { noThickness } from './no-thickness.ts'

/**
 * Gives sites their positions from the study's map and looks at each reading of the film: zero and negative ones
 * get marked as excluded, those beyond the edge exclusion are named (the summary leaves them out), and a place
 * that is not on the substrate is a problem.
 */
export function placeReadings(
  runs: readonly ImportRun[],
  study: MappedSubstrate,
): { flagged: Problem[]; problems: Problem[] } {
  const flagged: Problem[] = []
  const problems: Problem[] = []
  const sites = new Map(studySites(study).map((site) => [site.site, site]))
  for (const run of runs)
    for (const reading of run.readings) {
      const { row, column } = reading
      const mapped = reading.site === null ? undefined : sites.get(reading.site)
      if (reading.site !== null && reading.xMm === null && reading.yMm === null) {
        if (mapped) Object.assign(reading, { xMm: mapped.xMm, yMm: mapped.yMm })
        else
          problems.push({
            code: 'noSuchSite',
            message: `Row ${row}, ${column}: the site map ${mapName(study)} has no site ${reading.site}, and the file no position.`,
            row,
            column,
          })
      }
      const place = reading.xMm === null || reading.yMm === null ? null : { x: reading.xMm, y: reading.yMm }
      if (place && fromEdge(study, place) < -rim)
        problems.push({
          code: 'offSubstrate',
          message:
            `Row ${row}: ${placeOf({ ...reading, site: null })} is not on a substrate of ${sizeInWords(study)}. ` +
            'Positions count from its centre, in mm.',
          row,
        })
      if (reading.quantity !== 'thickness') continue
      const reason = noThickness(reading.value)
      if (reason && reading.excluded === null) reading.excluded = reason
      if (reason) flagged.push({ code: 'notPositive', message: `Row ${row}: ${reason}`, row, column })
      const beyond = reason || place === null ? null : beyondEdge(study, place)
      if (beyond) flagged.push({ code: 'beyondEdge', message: `Row ${row}: ${beyond}`, row, column })
    }
  return { flagged, problems }
}
