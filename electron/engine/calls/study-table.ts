import { createHash } from 'node:crypto'
import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import { atRows, type Column, columnNamed } from '../../../shared/model/table.ts'
import type { StudyTable } from '../compute/study-data.ts'
import type { Store } from '../store/open.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { runsOf } from '../store/runs.ts'
import { filmOf, otherMeans, thickness } from './film.ts'

/** Shape terms that stand beside the mean thickness as responses: signed, so that they can be modelled. */
export const shapeResponses = ['bowl', 'ring', 'wedgeX', 'wedgeY'] as const

/** Every run that has been read, with its settings, groups and means; what is excluded is marked. */
export function studyTable({ db }: Store, study: Study): StudyTable {
  const readings = readingsOfStudy(db, study.id)
  const runs = runsOf(db, study.id).filter((run) => readings.has(run.id))
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
    ({ name, unit }): Column => ({ name, unit, values: runs.map((run) => run.settings[name] ?? null) }),
  )
  const measured = responseColumns(study, runs, readings)
  const taken = new Set(factors.map(({ name }) => name))
  const columns = [
    ...factors,
    ...groups.filter(({ name, values }) => !taken.has(name) && values.some((value) => value !== null)),
    ...measured,
  ]
  return {
    table: { columns, rows: runs.length },
    runs,
    excluded: runs.map((run) => run.excluded ?? (run.state === 'dropped' ? 'The run was dropped.' : null)),
    responses: measured.map(({ name }) => name),
  }
}

function responseColumns(
  study: Study,
  runs: readonly Run[],
  readings: Map<string, readonly Reading[]>,
): Column[] {
  const own = runs.map((run) => readings.get(run.id) ?? [])
  const films = runs.map((run, i) => filmOf(study, run, own[i] ?? []))
  const means = own.map(otherMeans)
  const units = new Map(own.flat().map(({ quantity, unit }) => [quantity, unit]))
  const others = [...units.keys()].filter((name) => name !== thickness)
  const columns: Column[] = [
    { name: thickness, unit: 'nm', values: films.map((film) => film?.mean ?? null) },
    ...others.map((name) => ({
      name,
      unit: units.get(name) ?? '',
      values: means.map((mean) => mean[name] ?? null),
    })),
    ...shapeResponses
      .filter((name) => !units.has(name))
      .map((name) => ({ name, values: films.map((film) => film?.shape[name] ?? null) })),
  ]
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
  }
}

/** SHA-256 of the named columns as JSON, by which a result says which data it saw. */
export function dataHash({ table, runs }: StudyTable, columns: readonly string[]): string {
  const seen = [...new Set(columns)].sort().map((name) => [name, columnNamed(table, name)?.values ?? null])
  const json = JSON.stringify({ runs: runs.map(({ code }) => code), columns: seen })
  return createHash('sha256').update(json).digest('hex')
}
