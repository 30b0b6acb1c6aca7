import { fixed } from '../../charts/format.ts'
import { mapSites } from '../../charts/map-sites.ts'
import { spanOf } from '../../charts/wafer-marks.ts'
import type { UncertaintyPart } from '../../contract/results/film.ts'
import { ofStage } from '../../film/reading-stage.ts'
import { shapeSentence } from '../../film/shape-words.ts'
import { formulaWords } from '../../words.ts'
import { soft, table } from '../blocks.ts'
import { type Html, html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { inUnit, thick } from '../shown.ts'
import { mapKey, waferMap } from '../wafer-map.ts'

/** More maps than these make the document too heavy to read; the table holds every film. */
const mostMaps = 150
const decimals = { nm: 1, Å: 0, µm: 4 }
const budget: UncertaintyPart['name'][] = ['sites', 'repeatability', 'reload', 'calibration']

/** Film by film: mean with the budget of its uncertainty, evenness, shape; and maps of all on one colour scale. */
export function films({ study, runs, readings, theme }: ReportData): (Html | null)[] {
  const read = runs.filter(({ film }) => film !== null && film.mean !== null)
  if (read.length === 0) return [soft('No film has been read yet.')]
  const own = new Map(readings.map((each) => [each.runId, each.readings]))
  const maps = read.flatMap((run) => {
    const film = (own.get(run.id) ?? []).filter(({ quantity }) => quantity === 'thickness')
    const sites = mapSites(ofStage(film, study).counting, study.thicknessUnit)
    return sites.length === 0 ? [] : [{ run, sites }]
  })
  const span = spanOf(maps.flatMap(({ sites }) => sites))
  const looks = { unit: study.thicknessUnit, decimals: decimals[study.thicknessUnit], theme }
  const shown = maps.slice(0, mostMaps)
  return [
    table(
      'Films with the standard uncertainty of their mean (JCGM 100) and the parts that it is made of',
      [
        { label: 'Run' },
        { label: inUnit('Mean', study), number: true },
        { label: inUnit('Area mean', study), number: true },
        { label: inUnit('Uncertainty', study), number: true },
        ...['of sites', 'of repeats', 'of reload', 'of calibration'].map((label) => ({
          label,
          number: true,
        })),
        { label: 'Non-unif. (%)', number: true },
        { label: 'Shape', words: true },
      ],
      read.map(({ code, film }) => [
        code,
        thick(film?.mean, study, film?.uncertainty?.standard),
        thick(film?.areaWeightedMean, study, film?.uncertainty?.standard),
        thick(film?.uncertainty?.standard, study, film?.uncertainty?.standard),
        ...budget.map((name) => {
          const part = film?.uncertainty?.parts.find((each) => each.name === name)
          return thick(part?.value, study, film?.uncertainty?.standard)
        }),
        fixed(film?.nonUniformity[study.uniformityFormula], 2),
        film ? shapeSentence(film.shape) : '',
      ]),
    ),
    soft(
      `Non-uniformity ${formulaWords[study.uniformityFormula].short}. A part of the uncertainty that is not known is a dash ` +
        'and is not counted.',
    ),
    span === null ? null : html`<h3>Wafer maps on one scale</h3>`,
    span && mapKey({ ...looks, span }),
    span &&
      html`<div class="maps">${shown.map(
        ({ run, sites }, i) =>
          html`<figure>${waferMap(sites, { ...looks, span, substrate: study, name: `map${i + 1}`, title: `Wafer map of ${run.code}` })}<figcaption><strong>${run.code}</strong> ${thick(run.film?.mean, study)} ${study.thicknessUnit}, ${fixed(run.film?.nonUniformity[study.uniformityFormula], 2)} %</figcaption></figure>`,
      )}</div>`,
    maps.length > mostMaps
      ? soft(`Maps of the first ${mostMaps} of ${maps.length} films; the table above holds all.`)
      : null,
  ]
}
