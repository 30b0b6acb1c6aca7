import type { Reading } from '../../contract/things.ts'
import { readingStageWords } from '../../words.ts'
import { soft, table } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import type { ReportData } from '../report-data.ts'

/** Every reading in force as it was typed, run by run; what does not count is struck out. */
export function readings({ runs, readings: all }: ReportData): (Html | null)[] {
  const codes = new Map(runs.map(({ id, code }) => [id, code]))
  const rows = all.flatMap(({ runId, readings: own }) =>
    grouped(own).map((group) => {
      const { quantity, unit, takenAfter } = group[0] as Reading
      return [
        codes.get(runId) ?? '',
        takenAfter === null ? quantity : `${quantity} after ${readingStageWords[takenAfter]}`,
        unit,
        html`<div class="readings">${group.map(asTyped)}</div>`,
      ]
    }),
  )
  if (rows.length === 0) return [soft('Nothing has been read yet.')]
  return [
    table(
      'Readings as typed; the small figure is the site',
      [{ label: 'Run' }, { label: 'Quantity' }, { label: 'Unit' }, { label: 'Readings' }],
      rows,
    ),
  ]
}

function asTyped({ site, xMm, yMm, repeat, text, excluded }: Reading): Html {
  const place = site === null ? (xMm === null || yMm === null ? '' : `${xMm}, ${yMm}`) : String(site)
  const where = repeat > 1 ? `${place} (${repeat})` : place
  return html`<span><sub>${where}</sub> ${excluded === null ? text : html`<s>${text}</s>`}</span>`
}

/** Readings of one quantity, stage and unit as typed stand together. */
function grouped(readings: readonly Reading[]): Reading[][] {
  const groups = new Map<string, Reading[]>()
  for (const reading of readings) {
    const key = `${reading.quantity} ${reading.unit} ${reading.takenAfter}`
    groups.set(key, [...(groups.get(key) ?? []), reading])
  }
  return [...groups.values()]
}
