import type { Database } from 'better-sqlite3'
import type { StudyInput } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { substrateProblems } from '../../../shared/film/check-substrate.ts'
import { type Answer, good, type Problem } from '../../../shared/problem.ts'
import { studyDefaults } from '../../../shared/study-defaults.ts'
import { bottleOf } from '../store/bottles.ts'
import type { Store } from '../store/open.ts'
import { fromRow, type Row } from '../store/row.ts'
import { pourOpenSessionsFrom } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { addStudy, changedAt, changeStudy } from '../store/studies.ts'
import { type ToolTable, toolOf } from '../store/tools.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { noBottle } from './sessions.ts'

type Names =
  | 'studies.list'
  | 'studies.findRuns'
  | 'studies.get'
  | 'studies.create'
  | 'studies.update'
  | 'studies.setModel'
  | 'studies.setArchived'

export const studies: Handlers<Names> = {
  'studies.list': (_args, { db }) => {
    const count = (states: string) =>
      `(SELECT count(*) FROM run WHERE run.studyId = study.id AND removed = 0 AND state IN (${states}))`
    const rows = db
      .prepare(
        `SELECT id, name, question, targetNm, toleranceNm, thicknessUnit, simulated, archived,
           ${count(`'planned', 'coated'`)} AS runsPlanned, ${count(`'measured'`)} AS runsMeasured,
           ${changedAt} AS changedAt
         FROM study WHERE removed = 0 ORDER BY changedAt DESC, id DESC`,
      )
      .all() as Row[]
    return good(
      rows.map((row) => fromRow(row, { flags: ['simulated', 'archived'] })) as Result<'studies.list'>,
    )
  },

  'studies.findRuns': ({ words }, { db }) => good(runsNamed(db, words.trim(), 20)),

  'studies.get': ({ studyId }, store) => findStudy(store, studyId),

  'studies.create': ({ study }, store) => {
    const input: StudyInput = { ...studyDefaults, ...study }
    const checked = checkStudy(store, input)
    if (!checked.ok) return checked
    const studyId = addStudy(store.db, input, { simulated: false, practice: null })
    describeStep(store.db, { label: `Made the study ‘${input.name}’`, studyId })
    return good({ studyId })
  },

  'studies.update': ({ studyId, change }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const checked = checkStudy(store, { ...study.value, ...change })
    if (!checked.ok) return checked
    changeStudy(store.db, studyId, change)
    const { bottleId: before } = study.value
    if (change.bottleId && change.bottleId !== before)
      pourOpenSessionsFrom(store.db, studyId, { before, now: change.bottleId })
    describeStep(store.db, { label: 'Changed the study', studyId })
    return done
  },

  'studies.setModel': ({ studyId, model }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    changeStudy(store.db, studyId, { model })
    describeStep(store.db, { label: model ? `Chose the model ${model}` : 'Chose no model', studyId })
    return done
  },

  'studies.setArchived': ({ studyId, archived }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    changeStudy(store.db, studyId, { archived })
    describeStep(store.db, { label: archived ? 'Put the study away' : 'Took the study out again', studyId })
    return done
  },
}

/** Runs whose code holds these words, of the studies changed last first; no more is read than is told. */
function runsNamed(db: Database, words: string, most: number): Result<'studies.findRuns'> {
  const studies = db
    .prepare(`SELECT id, name FROM study WHERE removed = 0 ORDER BY ${changedAt} DESC, id DESC`)
    .all() as { id: string; name: string }[]
  // The codes stand in the index: of a run that is not meant no more is read.
  const runs = db.prepare(
    `SELECT id AS runId, code FROM run INDEXED BY runCode
     WHERE studyId = ? AND removed = 0 AND instr(lower(code), lower(?)) > 0 ORDER BY runOrder LIMIT ?`,
  )
  const found: Result<'studies.findRuns'> = []
  for (const { id: studyId, name: studyName } of studies) {
    const some = runs.all(studyId, words, most - found.length) as { runId: string; code: string }[]
    found.push(...some.map((run) => ({ ...run, studyId, studyName })))
    if (found.length === most) break
  }
  return found
}

/** Refuses tools that are not there, and a substrate or site map on which nothing could be read. */
function checkStudy({ db }: Store, input: StudyInput): Answer<null> {
  const named: { field: 'coaterId' | 'hotPlateId' | 'gaugeId'; table: ToolTable; words: string }[] = [
    { field: 'coaterId', table: 'coater', words: 'coater' },
    { field: 'hotPlateId', table: 'hotPlate', words: 'hot plate' },
    { field: 'gaugeId', table: 'gauge', words: 'gauge' },
  ]
  const problems = named.flatMap(({ field, table, words }): Problem[] => {
    const id = input[field]
    if (id === null || toolOf(db, table, id)) return []
    return [{ code: 'noSuchTool', message: `There is no such ${words} here.`, column: field }]
  })
  if (input.bottleId !== null && !bottleOf(db, input.bottleId)) problems.push(...noBottle.problems)
  problems.push(...substrateProblems(input))
  return problems.length > 0 ? { ok: false, problems } : good(null)
}
