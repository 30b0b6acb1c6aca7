import { serialize } from 'node:v8'
import { deflateSync } from 'node:zlib'
import type { Database } from 'better-sqlite3'
import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import type { CheckedArgs, Result } from '../../../shared/contract.ts'
import { fullyRead, siteOnMap } from '../../../shared/film/fully-read.ts'
import { ofStage, thickness } from '../../../shared/film/reading-stage.ts'
import { studySites } from '../../../shared/film/site-map.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import type { Tell } from '../../../shared/progress.ts'
import type { ImportSource } from '../files/import-content.ts'
import { fileOf } from '../files/rows-of-files.ts'
import { withFaults } from '../store/faults.ts'
import { newId, now, riseAbove } from '../store/ids.ts'
import type { ImportedReading, ImportWork } from '../store/importing.ts'
import { fittingMappings } from '../store/mappings.ts'
import { readingsOfRun } from '../store/readings.ts'
import { sqlite } from '../store/sqlite.ts'
import { studyOf } from '../store/studies.ts'
import { type ImportPlan, type PlannedRun, planImport } from './import-plan.ts'

export type ImportQuestion = {
  databaseFile: string
  source: CheckedArgs<'imports.commit'>
  /** Whether to work out what to keep, not only what to show. */
  keep: boolean
}

/** Readings that are kept in one piece: some ten milliseconds. */
const readingsAtOnce = 1000
/** Entries of a list that the preview shows. */
const shownMost = 500

/**
 * Reads files, checks every row against the study, and works out what an import does. It looks at the database by
 * a connection of its own that only reads.
 */
export function importFile(
  { databaseFile, source: { studyId, ...source }, keep }: ImportQuestion,
  tell: Tell,
): Answer<{ preview: Result<'imports.preview'>; work: ImportWork | null }> {
  return withFaults(databaseFile, () => {
    const db = new (sqlite())(databaseFile, { readonly: true, fileMustExist: true, timeout: 5000 })
    try {
      return db.transaction(() => {
        riseAbove(db)
        const study = studyOf(db, studyId)
        if (!study) return refuse('noSuchStudy', 'There is no such study here (any more).')
        const plan = planImport(db, study, source, tell)
        const work = keep && plan.problems.length === 0 ? workOf(db, study, { plan, source, tell }) : null
        return good({ preview: previewOf(db, plan), work })
      })()
    } finally {
      db.close()
    }
  })
}

function previewOf(db: Database, plan: ImportPlan): Result<'imports.preview'> {
  const { shown, planned, warnings, corrected, problems } = plan
  const { flagged } = shown
  const leftAside = [...shown.leftAside, ...plan.alreadyThere, ...plan.unread]
  const lists = { flagged, warnings, corrected, leftAside, problems }
  const entries = Object.entries(lists) as [keyof typeof lists, (typeof lists)['flagged']][]
  return {
    ...shown,
    shape: plan.shape,
    runs: planned.length,
    newRuns: planned.filter(({ known }) => !known).length,
    readings: planned.reduce((count, { readings }) => count + readings.length, 0),
    mappings: fittingMappings(
      db,
      shown.columns.map(({ column }) => column),
    ),
    counts: Object.fromEntries(entries.map(([name, list]) => [name, list.length])) as Record<
      keyof typeof lists,
      number
    >,
    ...(Object.fromEntries(entries.map(([name, list]) => [name, list.slice(0, shownMost)])) as typeof lists),
  }
}

type Given = { plan: ImportPlan; source: ImportSource; tell: Tell }

function workOf(db: Database, study: Study, { plan, source, tell }: Given): ImportWork {
  const at = now()
  const files = [source, ...(source.more ?? [])]
  const imports = files.map(({ fileName, text }, i) => ({
    id: newId(),
    fileName,
    sha256: plan.sha256[i] as string,
    runs: 0,
    readings: 0,
    text: deflateSync(text, { level: 1 }) as Uint8Array,
  }))
  const fileAt = (row: number) => imports[fileOf(row, files.length)] as (typeof imports)[number]
  const places = placesOf(study, plan, `Imported from ${source.fileName}`)
  const newRuns: Run[] = []
  const changedRuns: ImportWork['changedRuns'] = []
  const exclusions: ImportWork['exclusions'] = []
  const filmOf = <R extends Pick<Reading, 'quantity' | 'takenAfter'>>(readings: readonly R[]) =>
    ofStage(
      readings.filter(({ quantity }) => quantity === thickness),
      study,
    ).counting
  const map = studySites(study)
  // Wholly read is what fills the study's map, was read at places of its own, or is one mean of the wafer.
  const wholly = ({ run }: PlannedRun, { id }: Run) => {
    const own = filmOf(run.readings)
    if (own.length === 0) return run.readings.length > 0
    const before = filmOf(readingsOfRun(db, id))
    const placed = own.map((reading) => ({ site: siteOnMap(map, reading) }))
    return fullyRead(study, [...placed, ...before])
  }
  const pieces: Uint8Array[] = []
  let piece: ImportedReading[] = []
  let readings = 0
  plan.planned.forEach((planned, i) => {
    const { run, known } = planned
    const id = known?.id ?? newId()
    if (known) changedRuns.push({ id, change: changeOf(planned, known, wholly) })
    else newRuns.push({ id, ...newRun(planned, places(run, i)) })
    fileAt(run.row).runs++
    for (const { reading, supersedes } of planned.readings) {
      const from = fileAt(reading.row)
      const readingId = newId()
      const { quantity, site, xMm, yMm, value, text, unit } = reading
      const place = [site, xMm, yMm] as const
      piece.push([
        readingId,
        id,
        from.id,
        quantity,
        ...place,
        value,
        text,
        unit,
        reading.at ?? at,
        supersedes,
        reading.repeat,
        reading.takenAfter,
        reading.opticalIndex,
      ])
      from.readings++
      if (reading.excluded !== null) exclusions.push({ readingId, reason: reading.excluded })
      if (++readings % readingsAtOnce === 0) {
        pieces.push(serialize(piece))
        piece = []
        tell('readings made ready', readings, plan.shown.rowCount)
      }
    }
  })
  if (piece.length > 0) pieces.push(serialize(piece))
  const lots = [...new Set([...study.lots, ...plan.planned.flatMap(({ run }) => run.lot ?? [])])]
  return {
    ...{ studyId: study.id, at, imports, stages: places.stages, newRuns, changedRuns, pieces, exclusions },
    seen: db.prepare('SELECT coalesce(max(id), 0) FROM change').pluck().get() as number,
    factors: plan.factors.map((factor, i) => {
      const place = study.factors.findIndex(({ name }) => name === factor.name)
      return { factor, position: place >= 0 ? place + 1 : study.factors.length + i + 1 }
    }),
    lots: lots.length > study.lots.length ? lots : null,
    runs: plan.planned.length,
    readings,
  }
}

type Place = Pick<Run, 'studyId' | 'stageId' | 'runOrder'>

/** Where new runs stand: in the stage that the file names, or one of the import's own, which `stages` collects. */
function placesOf(study: Study, { known }: ImportPlan, ownTitle: string) {
  const byTitle = new Map(study.stages.map(({ title, id }) => [title, id]))
  const stages: ImportWork['stages'] = []
  const last = known.reduce((most, run) => Math.max(most, run.runOrder), 0)
  const place = (run: PlannedRun['run'], index: number): Place => {
    const title = run.stage ?? ownTitle
    const stageId = byTitle.get(title) ?? newId()
    if (!byTitle.has(title)) {
      byTitle.set(title, stageId)
      stages.push({ id: stageId, title })
    }
    // Run order as the file says it counts only where nothing has been run before.
    return { studyId: study.id, stageId, runOrder: last + (run.runOrder ?? index + 1) }
  }
  return Object.assign(place, { stages })
}

function newRun({ run }: PlannedRun, place: Place): Omit<Run, 'id'> {
  const state = run.state ?? (run.readings.length > 0 ? 'measured' : 'planned')
  return {
    ...place,
    code: run.code,
    standardOrder: run.standardOrder ?? null,
    block: run.block ?? 1,
    plateVisit: run.plateVisit ?? null,
    kind: run.kind ?? 'imported',
    lot: run.lot ?? null,
    settings: run.settings,
    recipeId: null,
    // Measured is what has readings; those of our own table of runs stand in another file.
    state: state === 'measured' && run.readings.length === 0 ? 'coated' : state,
    session: run.session ?? null,
    note: run.note ?? '',
    actual: run.actual ?? {},
    steps: run.steps ?? null,
    stepsDone: run.stepsDone ?? {},
    coatedAt: run.coatedAt ?? null,
    substrate: run.substrate ?? null,
    defect: run.defect ?? null,
    excluded: run.runExcluded ?? null,
  }
}

/** What a file changes of a run that the study has: it fills in and corrects, an empty cell takes nothing away. */
function changeOf(
  planned: PlannedRun,
  known: Run,
  wholly: (planned: PlannedRun, known: Run) => boolean,
): Partial<Run> {
  const { run, readings } = planned
  const unread = known.state === 'planned' || known.state === 'coated'
  const named = run.state === 'measured' && unread && run.readings.length === 0 ? 'coated' : run.state
  const read = readings.length > 0 && unread ? (wholly(planned, known) ? 'measured' : 'coated') : known.state
  const state = named ?? read
  return {
    state,
    settings: { ...known.settings, ...run.settings },
    lot: run.lot ?? known.lot,
    session: run.session ?? known.session,
    note: run.note ?? known.note,
    actual: { ...known.actual, ...run.actual },
    steps: run.steps ?? known.steps,
    stepsDone: { ...known.stepsDone, ...run.stepsDone },
    coatedAt: run.coatedAt ?? known.coatedAt,
    substrate: run.substrate ?? known.substrate,
    defect: state === 'failed' ? (run.defect ?? known.defect) : null,
    excluded: run.runExcluded ?? known.excluded,
  }
}
