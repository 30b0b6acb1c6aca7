import { fixed, percent, significant } from '../../charts/format.ts'
import { ledgerChart } from '../../charts/ledger-chart.ts'
import { chanceInWords } from '../../next/reason.ts'
import { scopeWords } from '../../next/scope.ts'
import { paragraph, soft, table } from '../blocks.ts'
import { figure } from '../drawing.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { inUnit, moment, settingsLine, shownThickness, span, thick } from '../shown.ts'

/** What was predicted before it was made, what was measured, and how well the intervals have held. */
export function ledger({ study, ledger: { entries, score }, theme }: ReportData): (Html | null)[] {
  if (entries.length === 0) return [soft('No recommended run has been taken yet.')]
  const judged = entries.flatMap(({ code, session, estimate, lower, upper, measured, inside, response }) =>
    measured === null || inside === null || response !== 'thickness'
      ? []
      : [{ code: code ?? '–', session, estimate, lower, upper, measured, inside }],
  )
  const chart = ledgerChart({ entries: judged, shown: shownThickness(study), theme })
  const { coverage } = score
  return [
    paragraph(score.words),
    coverage.of === 0
      ? null
      : paragraph(
          `${coverage.count} of ${coverage.of} wafers lay in their own interval (${percent(coverage.lower, 0)} to ${percent(coverage.upper, 0)} by Wilson’s interval).`,
        ),
    chart && figure(chart, { name: 'ledger', theme, words: chart.label }),
    table(
      'Predictions and what was measured',
      [
        { label: 'Run' },
        { label: 'Predicted at' },
        { label: 'Settings' },
        { label: 'For' },
        { label: inUnit('Predicted', study), number: true },
        { label: inUnit('Interval', study), number: true },
        { label: 'Chance', number: true },
        { label: inUnit('Measured', study), number: true },
        { label: 'In the interval' },
      ],
      entries.map((entry) => {
        const ofFilm = entry.response === 'thickness'
        return [
          entry.code ?? '–',
          moment(entry.at),
          settingsLine(entry.settings, study),
          `${ofFilm ? '' : `${entry.response}, `}${scopeWords[entry.scope]}`,
          ofFilm
            ? thick(entry.estimate, study, (entry.upper - entry.lower) / 4)
            : significant(entry.estimate),
          ofFilm
            ? span([entry.lower, entry.upper], study)
            : `${significant(entry.lower)} to ${significant(entry.upper)}`,
          entry.chance === null ? '–' : chanceInWords(entry.chance),
          ofFilm ? thick(entry.measured, study) : significant(entry.measured),
          entry.inside === null ? (entry.notJudged ?? '–') : entry.inside ? 'yes' : 'no',
        ]
      }),
    ),
    table(
      'By session',
      [
        { label: 'Session' },
        { label: 'Wafers', number: true },
        { label: 'Inside', number: true },
        { label: 'Mean error (%)', number: true },
        { label: 'In standard deviations', number: true },
      ],
      score.sessions.map(({ session, wafers, inside, bias, z }) => [
        session ?? 'not named',
        String(wafers),
        String(inside),
        fixed(100 * bias, 2),
        fixed(z, 2),
      ]),
    ),
  ]
}
