import { decimalsFor, fixed, percent, pWords, significant, withUnit } from '../../charts/format.ts'
import {
  normalScoresChart,
  residualsAgainstFitted,
  residualsInRunOrder,
} from '../../charts/residual-charts.ts'
import { lackOfFitSentence, outlierSentence, scaleOf, shownFit } from '../../model/fit-words.ts'
import { list, paragraph, soft } from '../blocks.ts'
import { figure } from '../drawing.ts'
import { type Html, html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { shownThickness } from '../shown.ts'

const strata: Record<string, string> = {
  session: 'between sessions',
  plateVisit: 'between visits to the plate',
  'session/plateVisit': 'between visits to the plate',
  residual: 'within them',
}

/** What there is to doubt in the fit: residuals as charts, tests, and what these runs cannot tell. */
export function checks({ study, fit: found, theme }: ReportData): (Html | null)[] {
  if (!found) return [soft('There is no fit to check yet.')]
  const { fit, codes, runOrder, doubts, model } = found
  const shown = shownThickness(study)
  const view = shownFit(scaleOf(model), shown)
  const residuals = fit.runs.map(({ residual }) => view.residual(residual))
  const spread = Math.sqrt(
    residuals.reduce((sum, value) => sum + value * value, 0) / Math.max(1, residuals.length),
  )
  const inputs = {
    runs: fit.runs.map((run, k) => ({
      code: codes[k] ?? `row ${run.row}`,
      runOrder: runOrder[k] ?? k + 1,
      fitted: view.fitted(run.fitted),
      residual: residuals[k] as number,
      studentized: run.studentized,
    })),
    axes: {
      fitted: withUnit(`fitted ${shown.name}`, shown.unit),
      residual: `residual (${view.residualUnit})`,
      decimals: decimalsFor(spread),
    },
    theme,
  }
  const small = { theme, width: 335, height: 240 }
  return [
    fit.lackOfFitByStratum === undefined || fit.lackOfFit ? paragraph(lackOfFitSentence(fit).words) : null,
    list(
      (fit.lackOfFitByStratum ?? [])
        .filter(({ p }) => p !== null)
        .map(
          ({ stratum, df, f, p, denominatorDf }) =>
            `Lack of fit ${strata[stratum] ?? `between ${stratum}`}: F = ${significant(f, 3)} on ${df} and ${significant(denominatorDf, 3)}, ${pWords(p)}.`,
        ),
    ),
    paragraph(outlierSentence(fit, codes).words),
    html`<div class="pair">${[
      figure(residualsAgainstFitted(inputs), {
        ...small,
        name: 'againstFitted',
        words: 'Against fitted values: a funnel means the wrong scale, a bend a missing square.',
      }),
      figure(residualsInRunOrder(inputs), {
        ...small,
        name: 'inRunOrder',
        words: 'In run order: a slope or a step means drift.',
      }),
      figure(normalScoresChart(inputs), {
        ...small,
        name: 'normalScores',
        words: 'Against normal scores: near the line means one kind of scatter.',
      }),
    ]}</div>`,
    ...(doubts
      ? [
          html`<h3>What there is to doubt</h3>`,
          doubts.doubts.length === 0 ? paragraph('Nothing was found to doubt in this fit.') : null,
          list(
            doubts.doubts.map(({ sentence, p, reasons, without }) =>
              [
                sentence,
                p === null ? '' : `(${pWords(p)})`,
                ...reasons,
                without === null || doubts.estimate === null
                  ? ''
                  : `Without it the prediction would move by ${percent(without / doubts.estimate - 1, 2)}.`,
              ]
                .filter(Boolean)
                .join(' '),
            ),
          ),
          doubts.clear.length > 0 ? html`<h3>Looked for and not found</h3>` : null,
          list(doubts.clear),
          doubts.notJudged.length > 0 ? html`<h3>What these runs cannot tell</h3>` : null,
          list(doubts.notJudged),
        ]
      : []),
    fit.press === null
      ? null
      : soft(`Sum of squares of left-out predictions (PRESS): ${fixed(fit.press, 6)}.`),
  ]
}
