import type { Run, Study } from '../../../shared/contract/things.ts'
import { plainFileName, withinBytes } from '../../../shared/file-name.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { meanOf, nothingRead, unitsOf } from '../../../shared/film/run-summary.ts'
import { actualColumns } from '../files/actual-columns.ts'
import { summariesFollow } from '../files/column-meaning.ts'
import { noSetting } from '../files/import-rows.ts'
import { type CsvCell, writeCsv } from '../files/write-csv.ts'
import type { Store } from '../store/open.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runsOf } from '../store/runs.ts'

/** Header and cell of a column that every row of an invented study bears. */
export const simulated = 'simulated'

/** A row for each run: how it was made, and what its readings come to. */
export function runsCsv({ db }: Store, study: Study): string {
  const runs = runsOf(db, study.id)
  const summaries = summariesOfStudy(db, study, runs)
  const stages = new Map(study.stages.map(({ id, title }) => [id, title]))
  const made: RunColumn[] = [
    { header: 'run', cell: (run) => run.code },
    { header: 'stage', cell: (run) => stages.get(run.stageId) ?? '' },
    { header: 'run order', cell: (run) => run.runOrder },
    { header: 'standard order', cell: (run) => run.standardOrder },
    { header: 'block', cell: (run) => run.block },
    { header: 'plate visit', cell: (run) => run.plateVisit },
    { header: 'kind', cell: (run) => run.kind },
    { header: 'state', cell: (run) => run.state },
    { header: 'lot', cell: (run) => run.lot },
    { header: 'session', cell: (run) => run.session },
    ...study.factors.map((factor) => ({
      header: withUnit(factor.name, factor.unit),
      cell: (run: Run) => run.settings[factor.name] ?? noSetting,
    })),
    { header: 'note', cell: (run) => run.note },
    { header: 'run excluded', cell: (run) => run.excluded },
    ...whatHappened(runs),
  ]
  const of = ({ id }: Run) => summaries.get(id) ?? nothingRead
  const found: typeof made = [
    { header: summariesFollow, cell: (run) => of(run).readings },
    { header: withUnit(thickness, 'nm'), cell: (run) => of(run).film?.mean ?? null },
    { header: withUnit('standard deviation', 'nm'), cell: (run) => of(run).film?.standardDeviation ?? null },
    {
      header: withUnit(`non-uniformity ${study.uniformityFormula}`, '%'),
      cell: (run) => of(run).film?.nonUniformity[study.uniformityFormula] ?? null,
    },
    ...[...unitsOf(summaries.values())].map(([quantity, unit]) => ({
      header: withUnit(quantity, unit),
      cell: (run: Run) => meanOf(of(run), quantity),
    })),
  ]
  const columns = [
    ...made,
    ...found,
    ...(study.simulated ? [{ header: simulated, cell: () => simulated }] : []),
  ]
  return writeCsv(
    columns.map(({ header }) => header),
    runs.map((run) => columns.map(({ cell }) => cell(run))),
  )
}

type RunColumn = { header: string; cell(run: Run): CsvCell }

/** What became of the runs; a column stands only where some run has something to say in it. */
function whatHappened(runs: readonly Run[]): RunColumn[] {
  const all: RunColumn[] = [
    { header: 'defect', cell: (run) => run.defect },
    { header: 'coated at', cell: (run) => run.coatedAt },
    { header: 'substrate code', cell: (run) => run.substrate },
    { header: 'steps', cell: (run) => run.steps && JSON.stringify(run.steps) },
    {
      header: 'steps done',
      cell: (run) => (Object.keys(run.stepsDone).length > 0 ? JSON.stringify(run.stepsDone) : null),
    },
    ...actualColumns.map(({ field, header, unit }) => ({
      header: withUnit(header, unit),
      cell: (run: Run) => {
        const value = run.actual[field]
        return value === undefined ? null : typeof value === 'boolean' ? String(value) : value
      },
    })),
  ]
  return all.filter(({ cell }) => runs.some((run) => cell(run) !== null))
}

/** A row for each reading in force, as typed and as a value; excluded ones with the reason. */
export function readingsCsv({ db }: Store, study: Study): string {
  const readings = readingsOfStudy(db, study.id)
  const rows = runsOf(db, study.id).flatMap((run) =>
    (readings.get(run.id) ?? []).map((reading) => [
      run.code,
      run.state,
      reading.site,
      reading.xMm,
      reading.yMm,
      reading.repeat,
      reading.takenAfter,
      reading.opticalIndex,
      reading.quantity,
      reading.value,
      reading.quantity === thickness ? 'nm' : reading.unit,
      reading.text,
      reading.unit,
      reading.at,
      reading.excluded,
      ...(study.simulated ? [simulated] : []),
    ]),
  )
  const headers = [
    'run',
    'state',
    'site',
    'x (mm)',
    'y (mm)',
    'repeat',
    'taken after',
    'optical index',
    'quantity',
    'value',
    'unit',
    'typed text',
    'typed unit',
    'read at',
    'excluded',
  ]
  return writeCsv(study.simulated ? [...headers, simulated] : headers, rows)
}

const withUnit = (name: string, unit: string) => (unit ? `${name} (${unit})` : name)

/** A plain file name that begins with the name of the study, of which so much is left out that what follows stays. */
export function studyFileName(study: Study, rest: string): string {
  const stem = withinBytes(study.name, 120)
  const mark = study.simulated && !stem.includes(simulated) ? ` (${simulated})` : ''
  return plainFileName(`${stem || 'study'}${mark}${rest}`)
}
