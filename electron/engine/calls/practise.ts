import { randomInt } from 'node:crypto'
import { type Run, type Study, studyInput } from '../../../shared/contract/things.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { good, refuse } from '../../../shared/problem.ts'
import { usualFilm } from '../../../shared/process/invented-film.ts'
import { practiceFilm, practiceReadings } from '../../../shared/rehearsal/practice-readings.ts'
import type { Store } from '../store/open.ts'
import { readingsOfRun } from '../store/readings.ts'
import { addRun, runsOf } from '../store/runs.ts'
import { plateVisitsOf } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { addStage, addStudy, keepFactor } from '../store/studies.ts'
import { findStudy, type Handlers } from './handler.ts'
import { keepEntries, settleState } from './keep-entries.ts'
import { given } from './rehearse.ts'

const about = 'Practice on an invented film: every reading in this study is simulated.'
const longestName = 200

export const practise: Handlers<'plans.practise'> = {
  'plans.practise': ({ studyId, seed, film }, store) => {
    const { db } = store
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const study = found.value
    const runs = runsOf(db, studyId).filter(({ state }) => state !== 'dropped')
    if (runs.length === 0) return refuse('noRuns', 'There is no saved plan to practise: make one first.')
    const changed = given(film ?? {})
    const practice = {
      seed: seed ?? randomInt(2 ** 30),
      film: practiceFilm(study, changed) ?? { ...usualFilm, ...changed },
    }
    const suffix = ' (practice)'
    const input = {
      ...studyInput.parse(study),
      name: `${study.name.slice(0, longestName - suffix.length)}${suffix}`,
      notes: [about, study.notes].filter(Boolean).join('\n'),
    }
    const copyId = addStudy(db, input, { simulated: true, practice })
    study.factors.forEach((factor, i) => {
      keepFactor(db, copyId, factor, i + 1)
    })
    for (const stage of study.stages) {
      const own = runs.filter(({ stageId }) => stageId === stage.id)
      if (own.length === 0) continue
      const { kind, title, design } = stage
      const stageId = addStage(db, copyId, { kind, title, design })
      for (const run of own) addRun(db, { ...planned(run), studyId: copyId, stageId })
    }
    describeStep(db, { label: `Made a practice study of ‘${study.name}’`, studyId: copyId })
    return good({ studyId: copyId })
  },
}

/** A run as it was planned, without what became of it. */
const planned = ({
  code,
  standardOrder,
  runOrder,
  block,
  plateVisit,
  kind,
  lot,
  settings,
  session,
  steps,
}: Run) => ({
  code,
  standardOrder,
  runOrder,
  block,
  plateVisit,
  kind,
  lot,
  settings,
  session,
  steps,
})

/** Reads a run of a practice study that has just been coated; whether it was one and had not been read. */
export function readInPractice(store: Store, study: Study, run: Run): boolean {
  if (!study.practice || readingsOfRun(store.db, run.id).length > 0) return false
  const visit = plateVisitsOf(store.db, study.id).find(({ number }) => number === run.plateVisit) ?? null
  const runs = runsOf(store.db, study.id)
  const readings = practiceReadings({ study, practice: study.practice, run, runs, visit })
  const entries = readings.map(({ valueNm, ...site }, i) => ({
    ...site,
    ...{ row: i + 1, repeat: 1, takenAfter: study.targetAfter, opticalIndex: null },
    value: valueNm,
    text: String(valueNm),
    unit: 'nm',
  }))
  keepEntries(store, { run, study }, thickness, entries)
  settleState(store, run, study, readingsOfRun(store.db, run.id))
  return true
}
