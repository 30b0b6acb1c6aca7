import { plainNumber } from '../../../shared/charts/format.ts'
import type { Settings } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { compareModels } from '../../../shared/model/compare-models.ts'
import { fittedContour } from '../../../shared/model/contour.ts'
import { fittedCurve } from '../../../shared/model/curve.ts'
import type { AnyFit } from '../../../shared/model/fit.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { mostRuns, swappedProblem } from '../../../shared/model/swapped-pair.ts'
import { targetSetting } from '../../../shared/model/target-setting.ts'
import { transformationOf } from '../../../shared/model/transformation.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { oddCoat } from '../../../shared/process/odd-coat.ts'
import {
  type FitInput,
  type FitOfKindInput,
  fitRuns,
  fitRunsByKind,
  namingRuns,
  pointOf,
  rangeOf,
  type StudyFit,
  type StudyTable,
} from './study-data.ts'

/** The whole report of a fit. */
export function reportOfFit(input: FitOfKindInput): Answer<Result<'fits.fit'>> {
  const found = fitRunsByKind(input)
  if (!found.ok) return found
  const { model, data, dataHash } = found.value
  const report = model.report()
  const pooled = lotsPooled(
    model.rows.map((row) => data.runs[row]?.lot ?? null),
    input.model,
  )
  return good({
    fit: {
      ...report,
      problems: [
        ...swappedRuns(input, model.rows.length),
        ...pooled,
        ...notAsPlanned(model.rows, data),
        ...coatedOddly(model.rows, input.found),
        ...namingRuns(report.problems, data.runs),
      ],
    },
    dataHash,
    runIds: model.rows.map((row) => data.runs[row]?.id as string),
  })
}

/** Says which two runs may have been mistaken for each other, whatever the kind of fit: by least squares. */
function swappedRuns(input: FitInput, runs: number): Problem[] {
  const found = runs <= mostRuns ? fitRuns(input) : null
  if (!found?.ok) return []
  const { model, data } = found.value
  const swapped = swappedProblem(model.fitted, (row) => data.runs[row]?.code ?? '')
  return swapped === null ? [] : [swapped]
}

/** Says which runs enter with what really happened in place of the plan. */
function notAsPlanned(rows: readonly number[], { runs, replaced }: StudyTable): Problem[] {
  const named = rows.flatMap((row) => {
    const changes = (replaced[row] ?? []).map(
      ({ factor, planned, actual, surface }) =>
        `${factor} ${shown(actual)} for ${planned === null ? 'none' : shown(planned)}` +
        (surface === undefined ? '' : `, by the plate’s surface of ${shown(surface)} °C`),
    )
    return changes.length === 0 ? [] : [`${runs[row]?.code} (${changes.join(', ')})`]
  })
  if (named.length === 0) return []
  return [
    {
      code: 'notAsPlanned',
      message: `Fitted with what really happened in place of the plan: ${firstFew(named)}.`,
    },
  ]
}

/** The first five, and how many more there are. */
const firstFew = (named: readonly string[]) =>
  named.slice(0, 5).join('; ') + (named.length > 5 ? ` and ${named.length - 5} more` : '')

/** Says which runs of the fit were coated in a way that makes films thicker, as was noted at the bench. */
function coatedOddly(rows: readonly number[], { study, data }: FitInput['found']): Problem[] {
  const named = rows.flatMap((row) => {
    const run = data.runs[row]
    const words = run ? oddCoat(run, study) : []
    return words.length === 0 ? [] : [`${run?.code} (${words.join(', ')})`]
  })
  if (named.length === 0) return []
  return [
    {
      code: 'coatedOddly',
      message: `In the fit, though their films tend to be thicker: ${firstFew(named)}. Leave them out with the reason, or keep them knowingly.`,
    },
  ]
}

const shown = (value: number | string) => (typeof value === 'number' ? plainNumber(value) : value)

/** Lots differ by a percent or more; a fit that takes them for one has to say so. */
function lotsPooled(lots: (string | null)[], formula: string): Problem[] {
  const parsed = parseFormula(formula)
  const names = [...new Set(lots.filter((lot) => lot !== null))]
  if (!parsed.ok || names.length < 2 || columnsOf(parsed.value.terms).includes('lot')) return []
  return [
    {
      code: 'lotsPooled',
      message: `Runs of ${names.length} lots (${names.join(', ')}) are fitted as one. Add + lot to the model, or compare them on Lots.`,
    },
  ]
}

/** The fitted curve over one factor. */
export function curveOfFit({
  factor,
  at,
  ...input
}: FitOfKindInput & { factor: string; at: Settings }): Answer<Result<'fits.curve'>> {
  return drawn(input, [factor], (found) =>
    fittedCurve(found.model, { factor, ...rangeOf(found, factor), at: pointOf(found, at) }),
  )
}

/** The fitted surface over two factors. */
export function contourOfFit({
  x,
  y,
  at,
  ...input
}: FitOfKindInput & { x: string; y: string; at: Settings }): Answer<Result<'fits.contour'>> {
  return drawn(input, [x, y], (found) =>
    fittedContour(found.model, {
      x: { factor: x, ...rangeOf(found, x) },
      y: { factor: y, ...rangeOf(found, y) },
      at: pointOf(found, at),
    }),
  )
}

/** Predictions at settings, each filled up with the middle of what was run. */
export function predictionsOfFit({
  at,
  ...input
}: FitOfKindInput & { at: Settings[] }): Answer<Result<'fits.predict'>> {
  const found = fitRunsByKind(input)
  if (!found.ok) return found
  const points = at.map((settings) => pointOf(found.value, settings))
  const problems = found.value.model.cannotPredict(points)
  return problems.length > 0 ? { ok: false, problems } : good(found.value.model.predict(points))
}

/** The setting of a factor at which the fit reaches a target, the other factors as of {@link predictionsOfFit}. */
export function targetOfFit({
  factor,
  target,
  at,
  ...input
}: FitOfKindInput & { factor: string; target: number; at: Settings }): Answer<Result<'fits.target'>> {
  const found = fitRunsByKind(input)
  if (!found.ok) return found
  const formula = parseFormula(input.model)
  if (!formula.ok) return formula
  const { model, frame } = found.value
  return targetSetting({ model, frame, formula: formula.value }, { factor, target, at })
}

/** Which transformation of the response the runs support. */
export function transformationOfRuns({
  found,
  model,
  level,
}: FitInput): Answer<Result<'fits.transformation'>> {
  const { table, runs } = found.data
  const answer = transformationOf({ table, model, ...(level === undefined ? {} : { level }) })
  return answer.ok ? answer : { ok: false, problems: namingRuns(answer.problems, runs) }
}

/** Models side by side; a run stands in the sentences by its code. */
export function comparisonOfModels({
  data,
  models,
  group,
}: {
  data: StudyTable
  models: string[]
  group: string | undefined
}): Answer<Result<'fits.compareModels'>> {
  const { table, runs } = data
  const found = compareModels({
    table,
    models,
    ...(group === undefined ? {} : { group }),
    nameOf: (row) => runs[row]?.code ?? `row ${row}`,
  })
  const problems = namingRuns(found.ok ? found.value.problems : found.problems, runs)
  return found.ok ? good({ ...found.value, problems }) : { ok: false, problems }
}

/** Draws a fit over columns, each of which has to be one of numbers that vary. */
function drawn<T>(
  input: FitOfKindInput,
  over: readonly string[],
  draw: (found: StudyFit<AnyFit>) => Answer<T>,
): Answer<T> {
  const found = fitRunsByKind(input)
  if (!found.ok) return found
  for (const name of over) {
    const { low, high } = rangeOf(found.value, name)
    if (!(low < high))
      return refuse('noRange', `${name} does not vary over a range in these runs.`, { column: name })
  }
  return draw(found.value)
}
