import type { Settings, Study } from '../../../shared/contract/things.ts'
import { fittedContour } from '../../../shared/model/contour.ts'
import { fittedCurve } from '../../../shared/model/curve.ts'
import { workingPoint } from '../../../shared/model/groups.ts'
import { suggestModels } from '../../../shared/model/suggest.ts'
import { columnNamed, isCategorical } from '../../../shared/model/table.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import type { Store } from '../store/open.ts'
import { findStudy, type Handlers } from './handler.ts'
import { type FitQuestion, fitStudy, type StudyFit } from './study-fit.ts'
import { includedRows, namingRuns, type StudyTable, studyTable } from './study-table.ts'

type Names = 'fits.models' | 'fits.table' | 'fits.fit' | 'fits.curve' | 'fits.contour' | 'fits.predict'

export const fits: Handlers<Names> = {
  'fits.models': ({ studyId, response }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const data = includedRows(studyTable(store, study.value))
    const responses = data.responses.length > 0 ? data.responses : ['thickness']
    return good({ responses, suggestions: suggestionsFor(study.value, data, response) })
  },

  'fits.table': ({ studyId }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const { table, runs, excluded } = studyTable(store, study.value)
    const columns = table.columns.map((column) => ({
      name: column.name,
      unit: column.unit ?? '',
      categorical: isCategorical(column),
    }))
    const rows = runs.map((run, row) => ({
      runId: run.id,
      code: run.code,
      values: Object.fromEntries(table.columns.map(({ name, values }) => [name, values[row] ?? null])),
      excluded: excluded[row] ?? null,
    }))
    return good({ columns, rows })
  },

  'fits.fit': (question, store) => {
    const found = fitStudy(store, question)
    if (!found.ok) return found
    const { model, data, dataHash } = found.value
    const report = model.report()
    return good({
      fit: { ...report, problems: namingRuns(report.problems, data.runs) },
      dataHash,
      runIds: model.rows.map((row) => data.runs[row]?.id as string),
    })
  },

  'fits.curve': ({ factor, at, ...question }, store) =>
    drawn(store, question, [factor], (found) =>
      fittedCurve(found.model, { factor, ...rangeOf(found, factor), at: pointOf(found, at) }),
    ),

  'fits.contour': ({ x, y, at, ...question }, store) =>
    drawn(store, question, [x, y], (found) =>
      fittedContour(found.model, {
        x: { factor: x, ...rangeOf(found, x) },
        y: { factor: y, ...rangeOf(found, y) },
        at: pointOf(found, at),
      }),
    ),

  'fits.predict': ({ at, ...question }, store) => {
    const found = fitStudy(store, question)
    if (!found.ok) return found
    const points = at.map((settings) => pointOf(found.value, settings))
    const problems = found.value.model.cannotPredict(points)
    return problems.length > 0 ? { ok: false, problems } : good(found.value.model.predict(points))
  },
}

/** A straight-line copy of another column, such as a factor in coded units, correlates this closely. */
const copy = 0.999

/** Suggestions leave out a factor that only repeats one before it, since no model can tell the two apart. */
function suggestionsFor(study: Study, { table, runs }: StudyTable, response: string) {
  const values = columnNamed(table, response)?.values ?? []
  const read = runs.flatMap((_, row) => (values[row] == null ? [] : [row]))
  const cells = (name: string) => read.map((row) => columnNamed(table, name)?.values[row] ?? null)
  const distinct = (name: string) => new Set(cells(name).filter((value) => value !== null)).size
  const own = study.factors.filter(
    (factor, i) =>
      !study.factors.slice(0, i).some((before) => isCopy(cells(before.name), cells(factor.name))),
  )
  return suggestModels({
    factors: own.map(({ name, role, kind }) => ({ name, role, kind, distinct: distinct(name) })),
    response,
    groups: distinct('lot') > 1 ? ['lot'] : [],
    runs: read.length,
  })
}

function isCopy(a: readonly unknown[], b: readonly unknown[]): boolean {
  const pairs = a.flatMap((x, i) =>
    typeof x === 'number' && typeof b[i] === 'number' ? [[x, b[i]] as const] : [],
  )
  if (pairs.length < 3) return false
  const mean = (k: 0 | 1) => pairs.reduce((sum, pair) => sum + pair[k], 0) / pairs.length
  const [x0, y0] = [mean(0), mean(1)]
  let [xx, yy, xy] = [0, 0, 0]
  for (const [x, y] of pairs) {
    xx += (x - x0) ** 2
    yy += (y - y0) ** 2
    xy += (x - x0) * (y - y0)
  }
  return xx > 0 && yy > 0 && Math.abs(xy) > copy * Math.sqrt(xx * yy)
}

/** Draws a fit over columns, each of which has to be one of numbers that vary. */
function drawn<T>(
  store: Store,
  question: FitQuestion,
  over: readonly string[],
  draw: (found: StudyFit) => Answer<T>,
): Answer<T> {
  const found = fitStudy(store, question)
  if (!found.ok) return found
  for (const name of over) {
    const { low, high } = rangeOf(found.value, name)
    if (!(low < high))
      return refuse('noRange', `${name} does not vary over a range in these runs.`, { column: name })
  }
  return draw(found.value)
}

/** The range of a factor, widened to what was run. */
export function rangeOf({ study, data }: StudyFit, name: string): { low: number; high: number } {
  const factor = study.factors.find((candidate) => candidate.name === name)
  const run = columnNamed(data.table, name)?.values ?? []
  const numbers = [factor?.low, factor?.high, ...run].filter((value) => typeof value === 'number')
  return { low: Math.min(...numbers), high: Math.max(...numbers) }
}

/** The settings asked for, filled up with the middle of what was run. */
export function pointOf({ model }: StudyFit, at: Settings): Settings {
  return { ...workingPoint(model.fitted.frame), ...at }
}
