import type { Settings } from '../../../shared/contract/things.ts'
import { scaleOf } from '../../../shared/model/fit-words.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { estimatesAt, type MovableRun, movedResponses, placesOf } from '../../../shared/model/moved-runs.ts'
import { columnNamed, isCategorical } from '../../../shared/model/table.ts'
import { takenModel } from '../../../shared/model/taken-model.ts'
import { type Answer, good, type Problem } from '../../../shared/problem.ts'
import type { ReportData, ReportFit } from '../../../shared/report/report-data.ts'
import { contourOfFit, curveOfFit, predictionsOfFit, reportOfFit } from './fits.ts'
import { fitRunsByKind, type OverDaysInput, pointOf } from './study-data.ts'

/** A run that was read, as a mark of the curve. */
export type ReadRun = MovableRun & { code: string; excluded: string | null }

export type ReportFitInput = {
  /** The model that a person chose, or all that are suggested. */
  candidates: OverDaysInput[]
  chosen: boolean
  /** Said of how the film was read. */
  readingProblems: Problem[]
  runs: ReadRun[]
  /** Where curve and surface are drawn; the middle of the runs where it says nothing. */
  at: Settings
}

/** The fit over days of a report, with the curve and the surface of it; null where there is no model. */
export function fitOfReport({
  candidates,
  chosen,
  readingProblems,
  runs,
  at,
}: ReportFitInput): Answer<(Omit<ReportFit, 'doubts' | 'scatter'> & { input: OverDaysInput }) | null> {
  const input = takenOf(candidates)
  if (!input) return good(null)
  const question = { ...input, overDays: true }
  const report = reportOfFit(question)
  const found = fitRunsByKind(question)
  if (!report.ok) return report
  if (!found.ok) return found
  const { fit, dataHash, runIds } = report.value
  const byId = new Map(input.found.data.runs.map((run) => [run.id, run]))
  const own = runIds.map((id) => byId.get(id))
  const numeric = numericColumns(input)
  const full = pointOf(found.value, at)
  const [first, second] = numeric
  const curve = first === undefined ? null : curveOfFit({ ...question, factor: first, at: full })
  const surface =
    first === undefined || second === undefined
      ? null
      : contourOfFit({ ...question, x: first, y: second, at: full })
  return good({
    input,
    model: input.model,
    chosen,
    level: found.value.model.level,
    fit: { ...fit, problems: [...readingProblems, ...fit.problems] },
    dataHash,
    codes: own.map((run) => run?.code ?? ''),
    runOrder: own.map((run, k) => run?.runOrder ?? k + 1),
    at: full,
    curve: curve?.ok ? curve.value : null,
    marks: first === undefined ? [] : marksOf(question, { runs, factor: first, at: full }),
    surface: surface?.ok ? surface.value : null,
  })
}

/** The model to take of those suggested, by its plain fit; undefined where there is none. */
function takenOf(candidates: readonly OverDaysInput[]): OverDaysInput | undefined {
  if (candidates.length < 2) return candidates[0]
  const plain = candidates.map((candidate) => reportOfFit(candidate))
  return candidates[takenModel(plain.map((fit) => (fit.ok ? fit.value.fit : null)))]
}

/** The fit of a response beside the thickness, by the suggestion taken; null where there is no model for it. */
export function otherFitOfReport(
  response: string,
  candidates: readonly OverDaysInput[],
): ReportData['otherFits'][number] | null {
  const input = takenOf(candidates)
  if (!input) return null
  const question = { ...input, overDays: true }
  const report = reportOfFit(question)
  const found = fitRunsByKind(question)
  if (!report.ok) return { response, problems: report.problems }
  if (!found.ok) return { response, problems: found.problems }
  const unit = columnNamed(input.found.data.table, response)?.unit ?? ''
  const { fit, dataHash } = report.value
  return { response, unit, model: input.model, level: found.value.model.level, fit, dataHash }
}

/** Numeric columns of the model's terms, the speed first. */
function numericColumns({ found: { study, data }, model }: OverDaysInput): string[] {
  const formula = parseFormula(model)
  const names = (formula.ok ? columnsOf(formula.value.terms) : []).filter((name) => {
    const column = columnNamed(data.table, name)
    return column !== undefined && !isCategorical(column)
  })
  const speed = study.factors.find(({ role, name }) => role === 'speed' && names.includes(name))?.name
  return speed === undefined ? names : [speed, ...names.filter((name) => name !== speed)]
}

function marksOf(
  question: OverDaysInput & { overDays: boolean },
  { runs, factor, at }: { runs: readonly ReadRun[]; factor: string; at: Settings },
): ReportFit['marks'] {
  const scale = scaleOf(question.model)
  const places = placesOf(runs, { factor, at })
  const predicted = predictionsOfFit({ ...question, at: [...places.own, ...places.moved] })
  const estimates = predicted.ok && {
    own: estimatesAt(places.own, predicted.value),
    moved: estimatesAt(places.moved, predicted.value),
  }
  const moved = estimates && scale ? movedResponses(runs, estimates, scale) : []
  return runs.flatMap(({ code, values, response, excluded }, i) => {
    const x = values[factor]
    return typeof x === 'number' ? [{ code, x, y: moved[i] ?? response, excluded }] : []
  })
}
