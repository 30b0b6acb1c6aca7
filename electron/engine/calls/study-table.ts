import { createHash } from 'node:crypto'
import type { PlateVisit, Run, Study } from '../../../shared/contract/things.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { meanOf, nothingRead, type RunSummary, unitsOf } from '../../../shared/film/run-summary.ts'
import { atRows, type Column, columnNamed } from '../../../shared/model/table.ts'
import { actualSettings } from '../../../shared/process/actual-settings.ts'
import { ratiosToReference } from '../../../shared/process/reference-ratio.ts'
import type { StudyTable } from '../compute/study-data.ts'
import type { Store } from '../store/open.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runsOf } from '../store/runs.ts'
import { plateVisitsOf } from '../store/sessions.ts'

/** Shape terms that stand beside the mean thickness as responses: signed, so that they can be modelled. */
export const shapeResponses = ['bowl', 'ring', 'wedgeX', 'wedgeY'] as const

/** The response that says how uneven the film is, by the formula of the study, in %. */
export const nonUniformity = 'non-uniformity'

/** The response that compares sessions by their reference wafers. */
const ratioToReference = 'ratio to reference'

/**
 * Every run that has been read, with its settings, groups and means; what is excluded is marked. Settings are those
 * that the run really had, where they are recorded.
 */
export function studyTable({ db }: Store, study: Study): StudyTable {
  const runs = runsOf(db, study.id)
  return tableOfRuns(study, {
    runs,
    summaries: summariesOfStudy(db, study, runs),
    visits: plateVisitsOf(db, study.id),
  })
}

/** The same of runs with what their readings come to, by the run's id. */
export function tableOfRuns(
  study: Study,
  {
    runs: planned,
    summaries,
    visits: noted,
  }: {
    runs: readonly Run[]
    summaries: ReadonlyMap<string, RunSummary>
    visits: readonly PlateVisit[]
  },
): StudyTable {
  const runs = planned.filter((run) => summaries.has(run.id))
  const visits = new Map(noted.map((visit) => [visit.number, visit]))
  const made = runs.map((run) =>
    actualSettings({
      ...study,
      settings: run.settings,
      actual: run.actual,
      visit: visits.get(run.plateVisit ?? 0) ?? null,
    }),
  )
  const groups: Column[] = [
    { name: 'lot', values: runs.map((run) => run.lot) },
    { name: 'session', values: runs.map((run) => run.session) },
    // Blocks and visits are groups, not numbers to draw a line through.
    { name: 'block', values: runs.map((run) => String(run.block)) },
    {
      name: 'plateVisit',
      values: runs.map((run) => (run.plateVisit === null ? null : String(run.plateVisit))),
    },
  ]
  const factors = study.factors.map(
    ({ name, unit }): Column => ({ name, unit, values: made.map(({ settings }) => settings[name] ?? null) }),
  )
  const own = runs.map((run) => summaries.get(run.id) ?? nothingRead)
  const measured = responseColumns(study, runs, own)
  const taken = new Set(factors.map(({ name }) => name))
  const columns = [
    ...factors,
    ...groups.filter(({ name, values }) => !taken.has(name) && values.some((value) => value !== null)),
    ...measured,
  ]
  return {
    table: { columns, rows: runs.length },
    runs,
    excluded: runs.map(leftOut),
    replaced: made.map(({ replaced }) => replaced),
    rest: own.map(({ film }) => film?.shape.rest ?? null),
    responses: measured.map(({ name }) => name),
  }
}

/** A recipe that drifts would pull the curve with it. */
const monitorLeftOut = 'A monitor run watches its recipe and is no part of the fits.'

/** Why a run that has been read is no data, or null where it is. */
function leftOut({ excluded, kind, state, defect }: Run): string | null {
  if (excluded !== null) return excluded
  if (kind === 'monitor') return monitorLeftOut
  if (state === 'dropped') return 'The run was dropped.'
  if (state === 'failed') return `The coat failed: ${defect ?? 'not said how'}.`
  return state === 'measured' ? null : 'Not all of its sites are read yet.'
}

function responseColumns(
  { uniformityFormula }: Study,
  runs: readonly Run[],
  own: readonly RunSummary[],
): Column[] {
  const films = own.map(({ film }) => film)
  const units = unitsOf(own)
  const columns: Column[] = [
    { name: thickness, unit: 'nm', values: films.map((film) => film?.mean ?? null) },
    ...[...units].map(([name, unit]) => ({
      name,
      unit,
      values: own.map((summary) => meanOf(summary, name)),
    })),
    // A film without any spread has none that could be told.
    ...(units.has(nonUniformity)
      ? []
      : [
          {
            name: nonUniformity,
            unit: '%',
            values: films.map((film) => film?.nonUniformity[uniformityFormula] || null),
          },
        ]),
    ...shapeResponses
      .filter((name) => !units.has(name))
      .map((name) => ({ name, values: films.map((film) => film?.shape[name] ?? null) })),
  ]
  const ratios = ratiosToReference(
    runs.map((run, i) => ({
      ...run,
      reference: run.kind === 'reference',
      thickness: leftOut(run) === null ? (films[i]?.mean ?? null) : null,
    })),
  )
  if (!units.has(ratioToReference)) columns.push({ name: ratioToReference, values: ratios })
  return columns.filter(({ values }) => values.some((value) => value !== null))
}

/** The table without the rows that are excluded, or for which `leave` is true. */
export function includedRows(data: StudyTable, leave: (run: Run) => boolean = () => false): StudyTable {
  const kept = data.runs.flatMap((run, row) => (data.excluded[row] === null && !leave(run) ? [row] : []))
  const pick = <T>(values: readonly T[]) => kept.map((row) => values[row] as T)
  return {
    ...data,
    table: {
      columns: data.table.columns.map((column) => atRows(column, kept)),
      rows: kept.length,
    },
    runs: pick(data.runs),
    excluded: pick(data.excluded),
    replaced: pick(data.replaced),
    rest: pick(data.rest),
  }
}

/** SHA-256 of the named columns as JSON, by which a result says which data it saw. */
export function dataHash({ table, runs }: StudyTable, columns: readonly string[]): string {
  const seen = [...new Set(columns)].sort().map((name) => [name, columnNamed(table, name)?.values ?? null])
  const json = JSON.stringify({ runs: runs.map(({ code }) => code), columns: seen })
  return createHash('sha256').update(json).digest('hex')
}
