import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import { good } from '../../../shared/problem.ts'
import { now } from '../store/ids.ts'
import { addImport, addImportedReadings } from '../store/imports.ts'
import type { Store } from '../store/open.ts'
import { excludeReading } from '../store/readings.ts'
import { addRun, changeRun } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { addStage, changeStudy, keepFactor } from '../store/studies.ts'
import { findStudy, type Handlers } from './handler.ts'
import { type ImportPlan, type PlannedRun, planImport } from './import-plan.ts'

type Names = 'imports.preview' | 'imports.commit'

export const imports: Handlers<Names> = {
  'imports.preview': ({ studyId, ...source }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const plan = planImport(store, study.value, source)
    const { shape, shown, planned } = plan
    return good({
      ...shown,
      shape,
      runs: planned.length,
      newRuns: planned.filter(({ known }) => !known).length,
      readings: planned.reduce((count, { readings }) => count + readings.length, 0),
      warnings: plan.warnings,
      corrected: plan.corrected,
      leftAside: [...shown.leftAside, ...plan.alreadyThere],
      problems: plan.problems,
    })
  },

  'imports.commit': ({ studyId, ...source }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const plan = planImport(store, found.value, source)
    if (plan.problems.length > 0) return { ok: false, problems: plan.problems }
    keepFactors(store, found.value, plan)
    keepLots(store, found.value, plan)
    const readings = plan.planned.reduce((count, run) => count + run.readings.length, 0)
    const counts = { runs: plan.planned.length, readings }
    const { fileName } = source
    const importId = addImport(store.db, { studyId, fileName, sha256: plan.sha256, ...counts })
    keepRuns(store, found.value, plan, { importId, fileName })
    describeStep(store.db, { label: `Imported ‘${fileName}’: ${words(counts)}`, studyId })
    return good({ importId, ...counts })
  },
}

function keepFactors({ db }: Store, study: Study, plan: ImportPlan): void {
  plan.factors.forEach((factor, i) => {
    const place = study.factors.findIndex(({ name }) => name === factor.name)
    keepFactor(db, study.id, factor, place >= 0 ? place + 1 : study.factors.length + i + 1)
  })
}

/** Lots that the study does not know yet, after those it knows. */
function keepLots({ db }: Store, study: Study, plan: ImportPlan): void {
  const lots = plan.planned.flatMap(({ run }) => run.lot ?? [])
  const all = [...new Set([...study.lots, ...lots])]
  if (all.length > study.lots.length) changeStudy(db, study.id, { lots: all })
}

function keepRuns(
  store: Store,
  study: Study,
  plan: ImportPlan,
  source: { importId: string; fileName: string },
): void {
  const stages = new Map(study.stages.map(({ title, id }) => [title, id]))
  const stageOf = (title: string) => {
    const known = stages.get(title)
    if (known) return known
    const id = addStage(store.db, study.id, { kind: 'imported', title, design: null })
    stages.set(title, id)
    return id
  }
  const last = Math.max(0, ...plan.known.map((run) => run.runOrder))
  plan.planned.forEach((planned, i) => {
    const { run, known } = planned
    let runId = known?.id
    if (known) changeRun(store.db, known.id, changeOf(planned, known))
    else {
      const stageId = stageOf(run.stage ?? `Imported from ${source.fileName}`)
      // Run order as the file says it counts only where nothing has been run before.
      const runOrder = last + (run.runOrder ?? i + 1)
      runId = addRun(store.db, newRun(planned, { studyId: study.id, stageId, runOrder }))
    }
    keepReadings(store, source.importId, runId as string, planned)
  })
}

function newRun({ run }: PlannedRun, place: Pick<Run, 'studyId' | 'stageId' | 'runOrder'>): Omit<Run, 'id'> {
  return {
    ...place,
    code: run.code,
    standardOrder: run.standardOrder ?? null,
    block: run.block ?? 1,
    plateVisit: run.plateVisit ?? null,
    kind: run.kind ?? 'imported',
    lot: run.lot ?? null,
    settings: run.settings,
    state: run.state ?? (run.readings.length > 0 ? 'measured' : 'planned'),
    session: run.session ?? null,
    note: run.note ?? '',
    excluded: run.runExcluded ?? null,
  }
}

/** What a file changes of a run that the study has: it fills in and corrects, an empty cell takes nothing away. */
function changeOf({ run, readings }: PlannedRun, known: Run): Partial<Run> {
  const unread = known.state === 'planned' || known.state === 'coated'
  const state = run.state ?? (readings.length > 0 && unread ? 'measured' : known.state)
  return {
    state,
    settings: { ...known.settings, ...run.settings },
    lot: run.lot ?? known.lot,
    session: run.session ?? known.session,
    note: run.note ?? known.note,
    excluded: run.runExcluded ?? known.excluded,
  }
}

function keepReadings({ db }: Store, importId: string, runId: string, { readings }: PlannedRun): void {
  const at = now()
  const rows = readings.map(({ reading, supersedes }): Omit<Reading, 'id' | 'excluded'> => {
    const { row: _, column: __, excluded: ___, ...fields } = reading
    return { ...fields, at: reading.at ?? at, runId, supersedes }
  })
  const ids = addImportedReadings(db, importId, rows)
  readings.forEach(({ reading }, i) => {
    if (reading.excluded !== null) excludeReading(db, ids[i] as string, reading.excluded)
  })
}

function words({ runs, readings }: { runs: number; readings: number }): string {
  return `${runs} ${runs === 1 ? 'run' : 'runs'}, ${readings} ${readings === 1 ? 'reading' : 'readings'}`
}
