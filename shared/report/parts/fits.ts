import { contourChart } from '../../charts/contour-chart.ts'
import { curveChart } from '../../charts/curve-chart.ts'
import { fixed, pWords, significant } from '../../charts/format.ts'
import { scaleOf, scatterSentence, shareSentence, shownFit } from '../../model/fit-words.ts'
import { varianceSentence } from '../../model/variance-words.ts'
import { list, paragraph, soft, table, warning } from '../blocks.ts'
import { figure } from '../drawing.ts'
import { type Html, html } from '../html.ts'
import type { ReportData, ReportFit } from '../report-data.ts'
import { settingsLine, shortHash, shownThickness } from '../shown.ts'
import { termTable } from '../term-table.ts'

/** The fit over days: terms, scatter, curve and surface, and where the scatter of the film comes from. */
export function fits(data: ReportData): (Html | null)[] {
  const { study, fit: found, fitProblems, theme, runs } = data
  if (!found)
    return fitProblems.length === 0
      ? [soft('There are too few readings for a model yet.')]
      : fitProblems.map(({ message }) => warning(message))
  const { fit, model, level, curve, surface, at } = found
  const shown = shownThickness(study)
  const tolerance = study.targetNm === null ? null : { target: study.targetNm, tolerance: study.toleranceNm }
  const scale = scaleOf(model)
  const view = shownFit(scale, shown)
  const place = settingsLine(at, study)
  const x = curve && typeof at[curve.factor] === 'number' ? (at[curve.factor] as number) : null
  return [
    html`<p><code>${model}</code>${found.chosen ? null : html`, taken as the suggestion with the smallest AICc; nobody has chosen it yet`}. Fitted with the variances between sessions and visits to the plate.</p>`,
    termTable(found, study, shown),
    ...fit.notEstimable.map(({ term, because }) => warning(`${term} cannot be estimated: ${because}`)),
    paragraph(
      [
        `${fit.n} runs, ${significant(fit.df, 3)} degrees of freedom left.`,
        scatterSentence(fit, scale, shown).words,
        fit.rSquared === null ? '' : shareSentence(fit).words,
        varianceSentence(fit, { shown: view.residual, unit: view.residualUnit }),
      ]
        .filter(Boolean)
        .join(' '),
    ),
    fit.lackOfFit
      ? paragraph(
          `Lack of fit: F = ${significant(fit.lackOfFit.f, 3)} on ${fit.lackOfFit.df} and ${fit.lackOfFit.pureErrorDf}, ${pWords(fit.lackOfFit.p)}.`,
        )
      : null,
    list(fit.problems.map(({ message }) => message)),
    curve &&
      figure(curveChart({ curve, runs: found.marks, shown, tolerance, level, at: x, theme }), {
        name: 'curve',
        theme,
        words: `Line: fit at ${place}. Dark band: mean; light band, dashed: next run ${curve.scope === 'otherSession' ? 'on another day' : 'in these sessions'}. Marks: runs moved there by the fit, each with its own residual; hollow where left out.`,
      }),
    surface &&
      figure(
        contourChart({
          surface,
          runs: runs.flatMap(({ code, settings, film, excluded, kind }) => {
            const [a, b] = [settings[surface.x.name], settings[surface.y.name]]
            return typeof a === 'number' && typeof b === 'number' && film?.mean != null && kind !== 'monitor'
              ? [{ code, x: a, y: b, value: film.mean, excluded }]
              : []
          }),
          shown,
          tolerance,
          at: null,
          chances: null,
          recipe: recipeOn(surface, data),
          theme,
        }),
        {
          name: 'surface',
          theme,
          height: 420,
          words: `The fitted thickness over ${surface.x.name} and ${surface.y.name}, the other factors as above; bold lines: the limits of the tolerance; marks: runs.`,
        },
      ),
    scatterTable(found),
    soft(`Data seen by the fit: ${shortHash(found.dataHash)}.`),
  ]
}

/** Where a recipe in use stands on the surface; null where there is none. */
function recipeOn({ x, y }: NonNullable<ReportFit['surface']>, { recipes }: ReportData) {
  const settings = recipes.find(({ supersededBy }) => supersededBy === null)?.settings ?? {}
  const [across, up] = [settings[x.name], settings[y.name]]
  return typeof across === 'number' && typeof up === 'number' ? { x: across, y: up } : null
}

const levelWords: Record<string, string> = {
  session: 'between sessions',
  plateVisit: 'between visits to the plate',
  wafer: 'between wafers',
  site: 'between the sites of a wafer',
  repeat: 'between repeats at a site',
}

function scatterTable({ scatter }: ReportFit): Html | null {
  if (!scatter) return null
  return table(
    'Where the scatter of the film comes from, in percent of the thickness, and its share in the variance of the mean of one setting',
    [
      { label: 'Scatter' },
      { label: 'Groups', number: true },
      { label: 'Standard deviation (%)', number: true },
      { label: '95 % interval (%)', number: true },
      { label: 'Share of the mean’s variance (%)', number: true },
      { label: 'Source' },
    ],
    scatter.components.map((each) => [
      levelWords[each.level] ?? each.level,
      String(each.groups),
      significant(100 * each.standardDeviation, 2),
      `${significant(100 * each.lower, 2)} to ${each.upper === null ? '…' : significant(100 * each.upper, 2)}`,
      fixed(100 * each.shareOfMean, 0),
      each.source === 'gauge' ? 'the gauge’s page' : 'these readings',
    ]),
  )
}
