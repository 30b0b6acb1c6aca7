import { fixed, plainNumber, withUnit } from '../../charts/format.ts'
import { formulaWords, runKindWords } from '../../words.ts'
import { soft, table } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { inUnit, thick } from '../shown.ts'

/** Every run: settings, what became of it, what its readings come to, what was written about it. */
export function runs({ study, runs: rows }: ReportData): (Html | null)[] {
  if (rows.length === 0) return [soft('No runs yet.')]
  const noted = rows.filter(({ note, actual }) => note !== '' || actual.deviation)
  return [
    table(
      'Runs in the order in which they were planned',
      [
        { label: 'Order', number: true },
        { label: 'Run' },
        { label: 'Kind' },
        ...study.factors.map(({ name, unit, kind }) => ({
          label: withUnit(name, unit),
          number: kind === 'continuous',
        })),
        { label: 'Lot' },
        { label: 'Session' },
        { label: 'Sites', number: true },
        { label: inUnit('Mean', study), number: true },
        { label: inUnit('s', study), number: true },
        { label: 'Non-unif. (%)', number: true },
        { label: 'State' },
      ],
      rows.map((run) => [
        String(run.runOrder),
        run.code,
        runKindWords[run.kind],
        ...study.factors.map(({ name }) => {
          const value = run.settings[name]
          return value === undefined ? '–' : typeof value === 'number' ? plainNumber(value) : value
        }),
        run.lot ?? '–',
        run.session ?? '–',
        String(run.film?.n ?? 0),
        thick(run.film?.mean, study),
        thick(run.film?.standardDeviation, study),
        fixed(run.film?.nonUniformity[study.uniformityFormula], 2),
        run.excluded === null ? (run.state === 'measured' ? 'read' : run.state) : 'left out',
      ]),
    ),
    soft(
      'Mean and standard deviation s over the sites; non-uniformity ' +
        `${formulaWords[study.uniformityFormula].short}.`,
    ),
    noted.length === 0
      ? null
      : html`<h3>Remarks</h3><ul>${noted.map(
          ({ code, note, actual }) =>
            html`<li><strong>${code}</strong> ${[actual.deviation ?? '', note].filter(Boolean).join('; ')}</li>`,
        )}</ul>`,
  ]
}
