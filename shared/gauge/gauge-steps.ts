import type { GaugeStudy } from '../contract/gauges.ts'
import type { Gauge } from '../contract/tools.ts'
import type { Loading } from './loading-order.ts'

/**
 * What can hurt a person, a tool or a film while a wafer is loaded again and again. No limits are set here: the room's
 * rules and the people trained on the tool come first.
 */
export function gaugeCautions(kind: Gauge['kind']): string[] {
  const ofKind: Record<Gauge['kind'], string[]> = {
    profilometer: [
      'Raise the stylus before the stage moves and before you reach under it.',
      'A scan may mark a soft film: put scans side by side, not on the same line.',
    ],
    reflectometer: [
      'Do not look into the beam.',
      'Its light may expose the film: use the filter that the room asks for.',
    ],
    ellipsometer: [
      'Do not look into the beam.',
      'Its light may expose the film: use the filter that the room asks for.',
    ],
    other: [],
  }
  return [
    'Lift a wafer only once its vacuum is off, and hold it at the rim.',
    ...ofKind[kind],
    'Come back to the same site after every loading: otherwise the film’s own shape is counted as the gauge’s.',
  ]
}

/** The first scan in the order that has no reading, or null where all have one. */
export function nextScan(
  order: readonly Loading[],
  scans: number,
  isRead: (row: number, scan: number) => boolean,
): { row: number; scan: number } | null {
  for (let row = 0; row < order.length; row++)
    for (let scan = 1; scan <= scans; scan++) if (!isRead(row, scan)) return { row, scan }
  return null
}

/** What to do for a scan, in a sentence. */
export function scanWords(study: GaugeStudy, { wafer, operator, reload }: Loading, scan: number): string {
  const who = study.operators.length > 1 ? `${study.operators[operator - 1]}: ` : ''
  const name = study.wafers[wafer - 1]
  if (scan > 1)
    return `${who}Leave wafer ${name} where it is and read it again: scan ${scan} of ${study.scans}.`
  const scans = study.scans > 1 ? `, scan 1 of ${study.scans}` : ''
  return `${who}Take off what is on the stage, load wafer ${name} (loading ${reload} of ${study.reloads}), go to its site and read it${scans}.`
}
