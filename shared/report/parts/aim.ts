import { toleranceWords } from '../../charts/curve-chart.ts'
import { plainNumber } from '../../charts/format.ts'
import { formulaWords, mapInWords, readingStageWords } from '../../words.ts'
import { facts } from '../blocks.ts'
import type { Html } from '../html.ts'
import type { ReportData } from '../report-data.ts'
import { shownThickness } from '../shown.ts'

/** What the study asks, and what a film is held to. */
export function aim({ study }: ReportData): Html {
  const shown = shownThickness(study)
  const target =
    study.targetNm === null
      ? ''
      : toleranceWords(
          {
            target: shown.of(study.targetNm),
            tolerance: study.toleranceNm === null ? null : shown.of(study.toleranceNm),
          },
          shown,
        ).replace('target ', '')
  return facts([
    ['Question', study.question],
    ['Target thickness', target === '' ? '' : `${target}, after ${readingStageWords[study.targetAfter]}`],
    [
      'Non-uniformity',
      study.uniformityLimit === null ? '' : `at most ${plainNumber(study.uniformityLimit)} %`,
    ],
    ['Its formula', formulaWords[study.uniformityFormula].long],
    ['Sites', `${mapInWords(study)}, edge exclusion ${plainNumber(study.edgeExclusionMm)} mm`],
  ])
}
