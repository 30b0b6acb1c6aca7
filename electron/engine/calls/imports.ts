import { good, refuse } from '../../../shared/problem.ts'
import { bringIn, type ImportWork, makeWhole, takeAway } from '../store/importing.ts'
import { importOf, importsOf, textOfImport } from '../store/imports.ts'
import { dropMapping, keepMapping, mappingsOf } from '../store/mappings.ts'
import type { Store } from '../store/open.ts'
import { excludeReading } from '../store/readings.ts'
import { changeRun } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { changeStudy, keepFactor } from '../store/studies.ts'
import { done, findStudy, type Handlers } from './handler.ts'

type Names =
  | 'imports.preview'
  | 'imports.commit'
  | 'imports.list'
  | 'imports.text'
  | 'imports.mappings'
  | 'imports.keepMapping'
  | 'imports.dropMapping'

export const imports: Handlers<Names> = {
  'imports.preview': {
    computation: 'importFile',
    newestOnly: true,
    ask: (source, { file }) => good({ databaseFile: file, source, keep: false }),
    finish: ({ preview }) => good(preview),
  },

  'imports.commit': {
    computation: 'importFile',
    backUpBefore: 'before-import',
    ask: (source, { file }) => good({ databaseFile: file, source, keep: true }),
    pieces: ({ work }, _source, { db }) => ({
      make: () => (work ? bringIn(db, work) : []),
      takeBack: () =>
        work
          ? takeAway(
              db,
              work.imports.map(({ id }) => id),
            )
          : [],
    }),
    finish({ preview, work }, { studyId, fileName, more = [] }, store) {
      if (!work) return { ok: false, problems: preview.problems }
      const found = findStudy(store, studyId)
      if (!found.ok) return found
      if (changedMeanwhile(store, work))
        return refuse(
          'changedMeanwhile',
          'The study was changed while the file was being brought in. Nothing was imported. Look at the file again.',
        )
      const { db } = store
      for (const { factor, position } of work.factors) keepFactor(db, studyId, factor, position)
      if (work.lots) changeStudy(db, studyId, { lots: work.lots })
      for (const { id, change } of work.changedRuns) changeRun(db, id, change)
      makeWhole(db, work)
      for (const { readingId, reason } of work.exclusions) excludeReading(db, readingId, reason)
      const { runs, readings } = work
      const files = more.length > 0 ? `${more.length + 1} files` : `‘${fileName}’`
      describeStep(db, { label: `Imported ${files}: ${words({ runs, readings })}`, studyId })
      return good({ importId: (work.imports[0] as ImportWork['imports'][number]).id, runs, readings })
    },
  },

  'imports.list': ({ studyId }, { db }) => good(importsOf(db, studyId)),

  'imports.text': ({ importId }, { db }) => {
    const found = textOfImport(db, importId)
    return found ? good(found) : refuse('noSuchImport', 'There is no such import here.')
  },

  'imports.mappings': (_args, { db }) => good(mappingsOf(db)),

  'imports.keepMapping': (mapping, { db }) => {
    const mappingId = keepMapping(db, mapping)
    describeStep(db, { label: `Kept the mapping ‘${mapping.name}’`, studyId: null })
    return good({ mappingId })
  },

  'imports.dropMapping': ({ mappingId }, { db }) => {
    if (!dropMapping(db, mappingId))
      return refuse('noSuchMapping', 'There is no such mapping here (any more).')
    describeStep(db, { label: 'Dropped a mapping', studyId: null })
    return done
  },
}

/**
 * Whether anything that the import was worked out from has changed since: the study with its factors and stages,
 * another import, one of the runs that it adds to, or a run of a code that it adds.
 */
function changedMeanwhile({ db }: Store, work: ImportWork): boolean {
  const { studyId } = work
  if (work.imports.some(({ sha256 }) => importOf(db, studyId, sha256))) return true
  const runs = new Set(work.changedRuns.map(({ id }) => id))
  const codes = new Set(work.newRuns.map(({ code }) => code))
  const since = db
    .prepare(
      `SELECT tableName, rowId, coalesce(after, before) AS row FROM change
       WHERE id > ? AND tableName IN ('study', 'factor', 'stage', 'import', 'run', 'reading', 'exclusion')`,
    )
    .all(work.seen) as { tableName: string; rowId: string; row: string }[]
  const runOfReading = db.prepare('SELECT runId FROM reading WHERE id = ?').pluck()
  return since.some(({ tableName, rowId, row }) => {
    const fields = JSON.parse(row) as Record<string, unknown>
    if (tableName === 'study') return rowId === studyId
    if (tableName === 'reading') return runs.has(runOfReading.get(rowId) as string)
    if (tableName === 'exclusion') return runs.has(runOfReading.get(fields.readingId) as string)
    if (fields.studyId !== studyId) return false
    return tableName !== 'run' || runs.has(rowId) || codes.has(fields.code as string)
  })
}

function words({ runs, readings }: { runs: number; readings: number }): string {
  return `${runs} ${runs === 1 ? 'run' : 'runs'}, ${readings} ${readings === 1 ? 'reading' : 'readings'}`
}
