import type { ReportPart } from '../../contract/report.ts'
import { methods as known, type Method } from '../../methods.ts'
import { soft } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import { partTitles } from '../part-titles.ts'
import type { ReportData } from '../report-data.ts'

type Used = { of: Method; name: string; if: boolean }

/** The methods behind each part of a report, where the study has come so far that the part uses them. */
const usedIn: Partial<Record<ReportPart, (data: ReportData) => Used[]>> = {
  lots: ({ lotDecisions }) => {
    const decided = lotDecisions.length > 0
    return [
      { of: 'curvesOfLots', name: 'Curves of lots', if: decided },
      { of: 'equivalence', name: 'Equality within a margin', if: decided },
    ]
  },
  fits: ({ fit }) => [
    { of: 'terms', name: 'Terms', if: fit !== null },
    { of: 'speedExponent', name: 'Exponent of the speed', if: /log\(speed\)/.test(fit?.model ?? '') },
    { of: 'varianceComponents', name: 'Variances between groups', if: fit !== null },
    { of: 'degreesOfFreedom', name: 'Degrees of freedom', if: fit?.fit.dfMethod === 'satterthwaite' },
    { of: 'bands', name: 'Bands of the curve', if: fit?.curve != null },
    { of: 'movedRuns', name: 'Runs drawn at one setting', if: (fit?.marks.length ?? 0) > 0 },
    { of: 'lackOfFit', name: 'Lack of fit', if: fit?.fit.lackOfFit != null },
    { of: 'scatter', name: 'Where the scatter comes from', if: fit?.scatter != null },
  ],
  checks: ({ fit }) => [
    { of: 'runDiagnostics', name: 'Residuals run by run', if: fit !== null },
    { of: 'normalScores', name: 'Normal scores', if: fit !== null },
    { of: 'doubts', name: 'Doubts', if: fit?.doubts != null },
  ],
  decision: ({ recipes, confirmations }) => [
    { of: 'chanceInTolerance', name: 'Chance in tolerance', if: recipes.length > 0 },
    { of: 'allWafersAtOnce', name: 'Interval of all wafers at once', if: confirmations.length > 0 },
    {
      of: 'releaseInterval',
      name: 'Interval for release',
      if: confirmations.some(({ judgement }) => judgement.release !== null),
    },
  ],
  ledger: ({ ledger }) => [
    { of: 'ledgerCoverage', name: 'How well the intervals have held', if: ledger.score.coverage.of > 0 },
  ],
  drift: ({ drift }) => {
    const watched = drift.length > 0
    return [
      { of: 'driftLimits', name: 'Limits of the control chart', if: watched },
      { of: 'driftRules', name: 'Rules of the control chart', if: watched },
      { of: 'driftChange', name: 'What an event changed', if: watched },
      { of: 'retunedSpeed', name: 'Speed back to the target', if: watched },
    ]
  },
}

/** Formulas and sources of all that the parts of this report say, part by part; what they do not use is not named. */
export function methods(data: ReportData): (Html | null)[] {
  const named = data.items.flatMap((item) => {
    const used = item.kind === 'part' ? (usedIn[item.part]?.(data) ?? []).filter((each) => each.if) : []
    return item.kind === 'part' && used.length > 0 ? [{ part: item.part, used }] : []
  })
  if (named.length === 0) return [soft('The parts of this report use no method that has to be told.')]
  return named.flatMap(({ part, used }) => [
    html`<h3>${partTitles[part]}</h3>`,
    html`<dl>${used.map(
      ({ of, name }) =>
        html`<div><dt>${name}</dt><dd><p class="formula">${known[of].formula}</p><p class="soft">${known[of].source}</p></dd></div>`,
    )}</dl>`,
  ])
}
