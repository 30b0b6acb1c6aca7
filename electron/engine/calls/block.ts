import type { Run } from '../../../shared/contract/things.ts'
import { readingProblems } from '../../../shared/film/reading-problems.ts'
import { ofStage, thickness } from '../../../shared/film/reading-stage.ts'
import { studySites } from '../../../shared/film/site-map.ts'
import { good, type Problem, refuse } from '../../../shared/problem.ts'
import { readingsOfRun, readingsOfRuns, readingsOfStudy, withdrawReading } from '../store/readings.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { runIdsOf, runsOf } from '../store/runs.ts'
import { describeStep } from '../store/step.ts'
import { findReading } from './bench.ts'
import { type ParsedEntry, parseEntries } from './entry.ts'
import { expectedFields, expectedOf } from './expected.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { keepEntries, resettleState, settleState } from './keep-entries.ts'

type Names = 'bench.readings' | 'bench.maps' | 'bench.enterBlock' | 'bench.withdrawReadings'

/** Readings of many runs at once: what the table of runs and sites shows and takes. */
export const block: Handlers<Names> = {
  'bench.readings': ({ studyId }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const study = found.value
    const runs = runsOf(store.db, studyId)
    const readings = readingsOfStudy(store.db, studyId)
    const expected = expectedOf(store, study)
    return good({
      study,
      sites: studySites(study),
      problems: readingProblems(study, summariesOfStudy(store.db, study, runs).values()),
      runs: runs
        .filter(({ state }) => state !== 'dropped')
        .map((run) => ({
          id: run.id,
          code: run.code,
          readings: (readings.get(run.id) ?? []).filter(
            ({ quantity, site }) => quantity === thickness && site !== null,
          ),
          ...expectedFields(expected(run)),
        })),
    })
  },

  'bench.maps': ({ studyId, runIds }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const asked = new Set(runIds)
    const ofStudy = runIdsOf(store.db, studyId).filter((id) => asked.has(id))
    const readings = readingsOfRuns(store.db, ofStudy)
    return good(
      runIds.flatMap((id) => {
        const own = readings.get(id)?.filter(({ quantity }) => quantity === thickness)
        return own ? [{ id, readings: ofStage(own, found.value).counting }] : []
      }),
    )
  },

  'bench.enterBlock': ({ studyId, unit, runs }, store) => {
    const found = findStudy(store, studyId)
    if (!found.ok) return found
    const study = found.value
    const known = new Map(runsOf(store.db, studyId).map((run) => [run.id, run]))
    const problems: Problem[] = []
    const parsed = runs.flatMap(({ runId, readings }): { run: Run; entries: ParsedEntry[] }[] => {
      const run = known.get(runId)
      if (!run || run.state === 'dropped') {
        problems.push({ code: 'noSuchRun', message: `There is no run to read ${run?.code ?? 'here'} in.` })
        return []
      }
      const entries = parseEntries(study, { runId, unit, readings })
      if (entries.ok) return [{ run, entries: entries.value }]
      problems.push(...entries.problems.map((one) => ({ ...one, message: `${run.code}: ${one.message}` })))
      return []
    })
    if (problems.length > 0) return { ok: false, problems }
    const readingIds = parsed.flatMap(({ run, entries }) => {
      const ids = keepEntries(store, { run, study }, thickness, entries)
      settleState(store, run, study, readingsOfRun(store.db, run.id))
      return ids
    })
    const [only] = parsed
    const where = parsed.length === 1 && only ? only.run.code : `${parsed.length} runs`
    const count = readingIds.length === 1 ? 'a reading' : `${readingIds.length} readings`
    describeStep(store.db, { label: `Entered ${count} of ${where}`, studyId })
    return good({ readingIds })
  },

  'bench.withdrawReadings': ({ studyId, readingIds }, store) => {
    const study = findStudy(store, studyId)
    if (!study.ok) return study
    const found = readingIds.map((id) => findReading(store, id))
    const problems = found.flatMap((one) => (one.ok ? [] : one.problems))
    if (problems.length > 0) return { ok: false, problems }
    const readings = found.flatMap((one) => (one.ok ? [one.value] : []))
    if (readings.some((reading) => reading.studyId !== studyId))
      return refuse('otherStudy', 'These readings are not all of this study.')
    for (const { id } of readings) withdrawReading(store.db, id)
    for (const id of new Set(readings.map(({ runId }) => runId))) resettleState(store, { id }, study.value)
    const count = readings.length === 1 ? 'a reading' : `${readings.length} readings`
    describeStep(store.db, { label: `Took back ${count}`, studyId })
    return done
  },
}
