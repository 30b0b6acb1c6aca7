import type { Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs } from '../../../shared/contract.ts'
import { columnOf } from '../../../shared/model/expression.ts'
import { type FittedModel, fitModel } from '../../../shared/model/fit.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import type { Store } from '../store/open.ts'
import { findStudy } from './handler.ts'
import { dataHash, includedRows, namingRuns, type StudyTable, studyTable } from './study-table.ts'

/** What every call about a fit names. */
export type FitQuestion = Pick<CheckedArgs<'fits.fit'>, 'studyId' | 'response' | 'model' | 'level'>

/** The study's data as a model sees them: without excluded runs. */
export type StudyData = { study: Study; data: StudyTable; dataHash: string }

/** A model fitted to the runs of a study. */
export type StudyFit = StudyData & { model: FittedModel }

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

/** Fits a model to the runs of the study that are not excluded. */
export function fitStudy(store: Store, question: FitQuestion): Answer<StudyFit> {
  const found = dataFor(store, question)
  if (!found.ok) return found
  const { level } = question
  const model = fitModel({
    table: found.value.data.table,
    model: question.model,
    ...(level === undefined ? {} : { level }),
  })
  if (!model.ok) return { ok: false, problems: namingRuns(model.problems, found.value.data.runs) }
  return good({ ...found.value, model: model.value })
}
