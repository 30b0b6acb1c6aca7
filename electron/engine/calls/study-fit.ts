import type { CheckedArgs } from '../../../shared/contract.ts'
import { columnOf } from '../../../shared/model/expression.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { parseRandom } from '../../../shared/model/nested-groups.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import type { FitInput, FitOfKindInput, OverDaysInput, StudyData } from '../compute/study-data.ts'
import type { Store } from '../store/open.ts'
import { earlierStudies } from './earlier-studies.ts'
import { findStudy } from './handler.ts'
import { dataHash, includedRows, studyTable } from './study-table.ts'

/** What every call about a fit names. */
export type FitQuestion = Pick<CheckedArgs<'fits.fit'>, 'studyId' | 'response' | 'model' | 'level'>

/** The data that a model of the study uses, with their hash; `also` names columns that it uses besides. */
export function dataFor(
  store: Store,
  question: FitQuestion,
  also: readonly string[] = [],
): Answer<StudyData> {
  const study = findStudy(store, question.studyId)
  if (!study.ok) return study
  const formula = parseFormula(question.model)
  if (!formula.ok) return formula
  const { response, terms } = formula.value
  if (response && columnOf(response) !== question.response)
    return refuse('otherResponse', `The model is of ${columnOf(response)}, not of ${question.response}.`, {
      column: 'model',
    })
  const data = includedRows(studyTable(store, study.value))
  if (data.runs.length === 0)
    return refuse('noData', 'No run of this study has been read yet. Enter readings, or import them.')
  const hash = dataHash(data, [question.response, ...columnsOf(terms), ...also])
  return good({ study: study.value, data, dataHash: hash })
}

/** What a computation needs to fit the model of a question; `also` as above. */
export function fitInput(
  store: Store,
  question: FitQuestion,
  also: readonly string[] = [],
): Answer<FitInput> {
  const found = dataFor(store, question, also)
  return found.ok ? good({ found: found.value, model: question.model, level: question.level }) : found
}

/** The groups in which runs share a chance effect, whether or not the model names them. */
export const dayColumns = ['session', 'plateVisit']

/** The same for the fit by which the next run is chosen, with the variance between days. */
export function overDaysInput(
  store: Store,
  question: FitQuestion,
  also: readonly string[] = [],
): Answer<OverDaysInput> {
  const input = fitInput(store, question, [...dayColumns, ...also])
  return input.ok ? good({ ...input.value, others: earlierStudies(store, input.value.found.study) }) : input
}

/** The same for a fit that need not be plain least squares. */
export function fitOfKindInput(store: Store, question: CheckedArgs<'fits.fit'>): Answer<FitOfKindInput> {
  const { studyId: _, response: __, ...kind } = question
  const { overDays, random } = kind
  const groups = random === undefined ? good([]) : parseRandom(random)
  if (!groups.ok) return groups
  const input = fitInput(store, question, overDays ? dayColumns : groups.value)
  if (!input.ok) return input
  const others = overDays ? earlierStudies(store, input.value.found.study) : []
  return good({ ...kind, ...input.value, others })
}
