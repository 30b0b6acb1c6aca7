import { shownResponse, significant } from '../../charts/format.ts'
import { scaleOf, scatterSentence, shareSentence } from '../../model/fit-words.ts'
import { list, paragraph, soft, warning } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import type { OtherFit, ReportData } from '../report-data.ts'
import { shortHash } from '../shown.ts'
import { termTable } from '../term-table.ts'

/** What the settings do to the shape of the film and to whatever else was entered, response by response. */
export function otherFits({ otherFits: fits, study }: ReportData): (Html | null)[] {
  if (fits.length === 0) return [soft('Nothing but the thickness has been read yet.')]
  return [
    soft(
      'Each by the suggestion with the smallest AICc, with the variances between sessions and visits to the plate. ' +
        'Bowl, ring and wedge are shares of the mean thickness.',
    ),
    ...fits.flatMap((each) => [
      html`<h3>${each.response}</h3>`,
      ...('fit' in each ? fitted(each, study) : each.problems.map(({ message }) => warning(message))),
    ]),
  ]
}

function fitted(
  { response, unit, model, level, fit, dataHash }: OtherFit,
  study: ReportData['study'],
): (Html | null)[] {
  const shown = shownResponse(response, study.thicknessUnit, unit)
  return [
    html`<p><code>${model}</code></p>`,
    termTable({ fit, model, level }, study, shown),
    ...fit.notEstimable.map(({ term, because }) => warning(`${term} cannot be estimated: ${because}`)),
    paragraph(
      [
        `${fit.n} runs, ${significant(fit.df, 3)} degrees of freedom left.`,
        scatterSentence(fit, scaleOf(model), shown).words,
        fit.rSquared === null ? '' : shareSentence(fit).words,
      ]
        .filter(Boolean)
        .join(' '),
    ),
    list(fit.problems.map(({ message }) => message)),
    soft(`Data seen by the fit: ${shortHash(dataHash)}.`),
  ]
}
