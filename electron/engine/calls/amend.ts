import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import { ofStage, stageOf, thickness } from '../../../shared/film/reading-stage.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { readingStageWords } from '../../../shared/words.ts'
import type { Store } from '../store/open.ts'
import { addReading, excludeReading, readingsOfRun } from '../store/readings.ts'
import { changeRun } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { findRun } from './bench.ts'
import { correctedBy } from './entry.ts'
import { done, type Handlers } from './handler.ts'
import { resettleState } from './keep-entries.ts'

type Names = 'bench.changeHowRead' | 'bench.exchangeReadings'

/** What is put right of all readings of a run at once: each is superseded by one with the same number. */
export const amend: Handlers<Names> = {
  'bench.changeHowRead': ({ runId, stage, takenAfter, opticalIndex }, store) => {
    const found = findRun(store, runId)
    if (!found.ok) return found
    const { run, study } = found.value
    const all = readingsOfRun(store.db, runId).filter(({ quantity }) => quantity === thickness)
    const wrong = ofStage(all, study, stage).counting.filter(
      (reading) => reading.takenAfter !== takenAfter || reading.opticalIndex !== opticalIndex,
    )
    if (wrong.length === 0)
      return refuse('nothingToChange', `No reading of ${run.code} would be changed by that.`)
    const others = all.filter((reading) => stageOf(reading, study) !== stage)
    const taken = wrong.find((reading) => correctedBy({ ...reading, takenAfter }, others, study) !== null)
    if (taken)
      return refuse(
        'stageTaken',
        `${run.code} has a reading after ${readingStageWords[takenAfter]} at ${placeOf(taken)} already. Take one of them back first.`,
        { column: 'takenAfter' },
      )
    for (const reading of wrong) supersede(store, reading, { takenAfter, opticalIndex })
    resettleState(store, run, study)
    const label = `Changed how ${countOf(wrong)} of ${run.code} ${wrong.length === 1 ? 'was' : 'were'} read`
    describeStep(store.db, { label, studyId: study.id })
    return done
  },

  'bench.exchangeReadings': ({ runId, otherRunId, reason }, store) => {
    const runs = exchanged(store, runId, otherRunId)
    if (!runs.ok) return runs
    const { study, one, other } = runs.value
    const [ofOne, ofOther] = [readingsOfRun(store.db, one.id), readingsOfRun(store.db, other.id)]
    if (ofOne.length + ofOther.length === 0)
      return refuse('nothingToChange', `Neither ${one.code} nor ${other.code} has readings.`)
    for (const reading of ofOne) supersede(store, reading, { runId: other.id })
    for (const reading of ofOther) supersede(store, reading, { runId: one.id })
    for (const [run, from] of [
      [one, other],
      [other, one],
    ] as const) {
      const note = [run.note, `readings exchanged with ${from.code}: ${reason}`].filter(Boolean).join('; ')
      changeRun(store.db, run.id, { note })
      resettleState(store, run, study)
    }
    const label = `Exchanged the readings of ${one.code} and ${other.code}: ${reason}`
    describeStep(store.db, { label, studyId: study.id })
    return done
  },
}

/** Puts a reading with the same number in the place of one; what was left out stays so. */
function supersede({ db }: Store, reading: Reading, change: Partial<Reading>): void {
  const { id, excluded, ...fields } = reading
  const later = addReading(db, { ...fields, ...change, supersedes: id })
  if (excluded !== null) excludeReading(db, later, excluded)
}

/** Two different runs of one study, neither of them dropped. */
function exchanged(
  store: Store,
  runId: string,
  otherRunId: string,
): Answer<{ study: Study; one: Run; other: Run }> {
  const [one, other] = [findRun(store, runId), findRun(store, otherRunId)]
  if (!one.ok) return one
  if (!other.ok) return other
  if (runId === otherRunId || one.value.study.id !== other.value.study.id)
    return refuse('otherRun', 'Name another run of this study.', { column: 'otherRunId' })
  const dropped = [one.value.run, other.value.run].find(({ state }) => state === 'dropped')
  if (dropped) return refuse('runDropped', `Run ${dropped.code} has been dropped.`, { column: 'otherRunId' })
  return good({ study: one.value.study, one: one.value.run, other: other.value.run })
}

const countOf = (readings: readonly Reading[]) =>
  readings.length === 1 ? 'a reading' : `${readings.length} readings`
const placeOf = ({ site, repeat }: Reading) =>
  site === null ? 'its place' : `site ${site}${repeat > 1 ? `, repeat ${repeat},` : ''}`
