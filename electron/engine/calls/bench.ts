import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { stageOf, thickness } from '../../../shared/film/reading-stage.ts'
import { nothingRead, summarizeRun } from '../../../shared/film/run-summary.ts'
import { studySites } from '../../../shared/film/site-map.ts'
import { runStep } from '../../../shared/history/run-step.ts'
import { type Answer, good, type Problem, refuse } from '../../../shared/problem.ts'
import { cautions } from '../../../shared/process/cautions.ts'
import type { Store } from '../store/open.ts'
import { excludeReading, includeReading, readingOf, readingsOfRun } from '../store/readings.ts'
import { summariesOfStudy } from '../store/run-summaries.ts'
import { changeRun, runOf, runsOf } from '../store/runs.ts'
import { beginSession } from '../store/sessions.ts'
import { describeStep } from '../store/step.ts'
import { checkQuantities, checkSettings } from './check-settings.ts'
import { type ParsedEntry, parseEntries } from './entry.ts'
import { type Expected, expectedFields, expectedOf } from './expected.ts'
import { done, findStudy, type Handlers } from './handler.ts'
import { keepEntries, settleState } from './keep-entries.ts'
import { readInPractice } from './practise.ts'
import { questionsOf } from './questions.ts'
import { runCheck } from './run-check.ts'

type Names =
  | 'bench.runs'
  | 'bench.card'
  | 'bench.updateRun'
  | 'bench.enterReadings'
  | 'bench.excludeReading'
  | 'bench.includeReading'

/** The runs of a study, each with what its readings say. */
export function runRows({ db }: Store, study: Study): Result<'bench.runs'> {
  const runs = runsOf(db, study.id)
  const summaries = summariesOfStudy(db, study, runs)
  return runs.map((run) => {
    const { readings, leftOut, sitesRead, film, others } = summaries.get(run.id) ?? nothingRead
    const responses = others.flatMap(({ quantity, mean }) => (mean === null ? [] : [[quantity, mean]]))
    return { ...run, readings, leftOut, sitesRead, film, responses: Object.fromEntries(responses) }
  })
}

export const bench: Handlers<Names> = {
  'bench.runs': ({ studyId }, store) => {
    const study = findStudy(store, studyId)
    return study.ok ? good(runRows(store, study.value)) : study
  },

  'bench.card': ({ runId }, store) => {
    const found = findRun(store, runId)
    if (!found.ok) return found
    const { run, study } = found.value
    // Runs that were dropped are passed over on the way from run to run.
    const runs = runsOf(store.db, study.id).filter(({ id, state }) => state !== 'dropped' || id === runId)
    const at = runs.findIndex(({ id }) => id === run.id)
    const readings = readingsOfRun(store.db, runId)
    const expected = expectedOf(store, study)(run)
    return good({
      run,
      study,
      place: at + 1,
      of: runs.length,
      previous: runs[at - 1]?.id ?? null,
      next: runs[at + 1]?.id ?? null,
      ...runCheck(store, { study, run }, new Date()),
      cautions: cautions(),
      sites: studySites(study),
      readings,
      film: summarizeRun(study, run, readings).film,
      ...expectedFields(expected),
    })
  },

  'bench.updateRun': ({ runId, change }, store) => {
    const found = findRun(store, runId)
    if (!found.ok) return found
    const { run, study } = found.value
    const problems = [
      ...(change.settings ? checkSettings(study.factors, change.settings) : []),
      ...checkState(store, run, change.state ?? run.state),
      ...checkDefect({ ...run, ...change }),
    ]
    if (problems.length > 0) return { ok: false, problems }
    // A coat that is no failure after all has no defect.
    const state = change.state ?? run.state
    changeRun(store.db, runId, state === 'failed' ? change : { ...change, defect: null })
    if (change.session) beginSession(store.db, study.id, change.session)
    const changed = { ...run, ...change }
    const read = change.state === 'coated' && readInPractice(store, study, changed)
    const label = read ? `Coated ${run.code}, read on the invented film` : runStep(run.code, change)
    describeStep(store.db, { label, studyId: study.id })
    return done
  },

  'bench.enterReadings': (args, store) => {
    const found = findRun(store, args.runId)
    if (!found.ok) return found
    const { run, study } = found.value
    if (run.state === 'dropped')
      return refuse(
        'runDropped',
        `Run ${run.code} has been dropped. Take it up again before you enter readings.`,
      )
    const quantity = args.quantity ?? thickness
    const named = checkQuantities([quantity], study.factors)
    if (named.length > 0) return { ok: false, problems: named }
    const entries = parseEntries(study, args)
    if (!entries.ok) return entries
    const readingIds = keepEntries(store, { run, study }, quantity, entries.value)
    const after = readingsOfRun(store.db, run.id)
    settleState(store, run, study, after)
    const count = entries.value.length === 1 ? 'a reading' : `${entries.value.length} readings`
    describeStep(store.db, { label: `Entered ${count} of ${run.code}`, studyId: study.id })
    if (quantity !== thickness) return good({ readingIds, warnings: [] })
    // The fit is of the target's stage, and says nothing of a film before its bake.
    const [first] = entries.value as [ParsedEntry]
    const stage = stageOf(first, study)
    const expected = stage === study.targetAfter ? expectedOf(store, study)(run) : null
    const beside = after.filter((reading) => stageOf(reading, study) === stage)
    return good({
      readingIds,
      warnings: warningsOf({ study, expected, after: beside }, entries.value, readingIds),
    })
  },

  'bench.excludeReading': ({ readingId, reason }, store) => {
    const reading = findReading(store, readingId)
    if (!reading.ok) return reading
    const { studyId, code } = reading.value
    excludeReading(store.db, readingId, reason)
    describeStep(store.db, { label: `Excluded ${placeOf(reading.value)} of ${code}: ${reason}`, studyId })
    return done
  },

  'bench.includeReading': ({ readingId }, store) => {
    const reading = findReading(store, readingId)
    if (!reading.ok) return reading
    const { studyId, code } = reading.value
    includeReading(store.db, readingId)
    describeStep(store.db, { label: `Included ${placeOf(reading.value)} of ${code} again`, studyId })
    return done
  },
}

/** The run with its study, or the problem that there is none. */
export function findRun(store: Store, runId: string): Answer<{ run: Run; study: Study }> {
  const run = runOf(store.db, runId)
  if (!run) return refuse('noSuchRun', 'There is no such run here (any more).')
  const study = findStudy(store, run.studyId)
  return study.ok ? good({ run, study: study.value }) : study
}

/** The reading in force of that id, or the problem that there is none. */
export function findReading({ db }: Store, readingId: string) {
  const reading = readingOf(db, readingId)
  return reading
    ? good(reading)
    : refuse('noSuchReading', 'This reading is not in force (any more): it was corrected or taken back.')
}

/** A failed coat says what is wrong with it. */
function checkDefect({ state, defect }: { state: Run['state']; defect: string | null }): Problem[] {
  if (state !== 'failed' || defect !== null) return []
  return [{ code: 'noDefect', message: 'Say what is wrong with the film.', column: 'defect' }]
}

/** A state that the run's readings contradict. */
function checkState({ db }: Store, run: Run, state: Run['state']): Problem[] {
  if (state === run.state || state === 'dropped' || state === 'failed') return []
  const read = readingsOfRun(db, run.id).length > 0
  if (state === 'coated' || read === (state === 'measured')) return []
  const message = read
    ? `Run ${run.code} has readings, so it is not ‘${state}’. Undo their entry first.`
    : `Run ${run.code} has no readings yet, so it is not ‘measured’.`
  return [{ code: 'stateAgainstReadings', message, column: 'state' }]
}

/** What is odd about what was entered, judged beside the readings of the run at that stage. */
function warningsOf(
  run: { study: Study; expected: Expected | null; after: readonly Reading[] },
  entries: readonly ParsedEntry[],
  ids: readonly string[],
): Problem[] {
  const rows = new Map(ids.map((id, i) => [id, (entries[i] as ParsedEntry).row]))
  return [
    ...entries
      .filter((entry) => entry.value <= 0)
      .map(({ row, site, text }) => ({
        code: 'notPositive',
        message: `‘${text}’ is no thickness above zero. It was kept as typed and marked as excluded.`,
        row,
        ...(site === null ? {} : { column: `site ${site}` }),
      })),
    ...questionsOf({
      study: run.study,
      expected: run.expected,
      readings: run.after
        .filter(({ quantity, excluded }) => quantity === thickness && excluded === null)
        .map((reading) => ({ ...reading, row: rows.get(reading.id) ?? null })),
    }),
  ]
}

function placeOf(reading: Reading): string {
  const name = reading.quantity === thickness ? '' : `${reading.quantity} `
  return reading.site === null ? `a ${name}reading` : `${name}site ${reading.site}`
}
