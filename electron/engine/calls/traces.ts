import { decimalsFor } from '../../../shared/charts/format.ts'
import type { Scan } from '../../../shared/contract/calls/traces.ts'
import type { MeanStep } from '../../../shared/contract/results/trace.ts'
import type { Result } from '../../../shared/contract.ts'
import { meanStep } from '../../../shared/film/mean-step.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { type Answer, good, refuse } from '../../../shared/problem.ts'
import { type Evaluated, unpackPoints } from '../compute/traces.ts'
import type { Store } from '../store/open.ts'
import { readingsOfRun } from '../store/readings.ts'
import { describeStep } from '../store/step.ts'
import {
  addScan,
  changeScan,
  linkReading,
  pointsOf,
  sameScan,
  scanOf,
  scansOfReading,
  scansOfRun,
} from '../store/traces.ts'
import { findRun } from './bench.ts'
import { parseEntries } from './entry.ts'
import { done, type Handlers } from './handler.ts'
import { keepEntries, settleState } from './keep-entries.ts'

type Names =
  | 'traces.list'
  | 'traces.points'
  | 'traces.preview'
  | 'traces.import'
  | 'traces.evaluate'
  | 'traces.leaveOut'
  | 'traces.keep'

export const traces: Handlers<Names> = {
  'traces.list': ({ runId }, store) => {
    const found = findRun(store, runId)
    if (!found.ok) return found
    const scans = scansOfRun(store.db, runId)
    const sites = [...new Set(scans.map(({ site }) => site))]
    return good({ scans, sites: sites.map((site) => siteOf(store, runId, site, scans)) })
  },

  'traces.points': ({ traceId }, store) => {
    const scan = findScan(store, traceId)
    return scan.ok ? unpackPoints(pointsOf(store.db, traceId)) : scan
  },

  'traces.preview': { computation: 'lookAtTraces', newestOnly: true, ask: good, finish: good },

  'traces.import': {
    computation: 'scansOfFiles',
    ask: ({ files, decimal, positionUnit, heightUnit }) => good({ files, decimal, positionUnit, heightUnit }),
    finish(scans, { runId, site }, store) {
      const { db } = store
      const found = findRun(store, runId)
      if (!found.ok) return found
      const { run, study } = found.value
      const placed = parseEntries(study, { runId, unit: 'nm', readings: [{ site, text: '1' }] })
      if (!placed.ok) return placed
      for (const { name, packed } of scans) {
        const same = sameScan(db, runId, packed)
        if (same) return refuse('sameScan', `${name} is here already, as ${same} of ${run.code}.`)
      }
      const traceIds = scans.map(({ packed, notes: _, ...scan }) =>
        addScan(db, { ...scan, runId, site, regions: null, bow: false, excluded: null }, packed),
      )
      const count = scans.length === 1 ? 'a trace' : `${scans.length} traces`
      describeStep(db, { label: `Imported ${count} of ${run.code}`, studyId: study.id })
      return good({ traceIds, notes: scans.flatMap(({ notes }) => notes) })
    },
  },

  'traces.evaluate': {
    computation: 'evaluatedScans',
    ask: ({ traceIds, choice }, store) => questions(store, traceIds, choice),
    finish(evaluated, { choice }, store) {
      const scans = evaluated.map(({ id }) => findScan(store, id))
      const missing = scans.find((scan) => !scan.ok)
      if (missing && !missing.ok) return missing
      for (const { id, ...result } of evaluated) changeScan(store.db, id, { ...choice, ...result })
      return named(store, evaluated[0]?.id ?? '', (code) => `Evaluated traces of ${code} anew`)
    },
  },

  'traces.leaveOut': ({ traceId, reason }, store) => {
    const scan = findScan(store, traceId)
    if (!scan.ok) return scan
    changeScan(store.db, traceId, { excluded: reason })
    const { name } = scan.value
    return named(store, traceId, (code) =>
      reason === null ? `Took ${name} of ${code} in again` : `Left ${name} of ${code} out: ${reason}`,
    )
  },

  'traces.keep': {
    computation: 'evaluatedScans',
    ask: ({ draft }, store) => (draft ? questions(store, [draft.traceId], draft.choice) : good([])),
    finish(evaluated, { runId, site, draft }, store) {
      const { db } = store
      const found = findRun(store, runId)
      if (!found.ok) return found
      const { run, study } = found.value
      if (run.state === 'dropped')
        return refuse(
          'runDropped',
          `Run ${run.code} has been dropped. Take it up again before you keep a reading.`,
        )
      if (draft) for (const { id, ...result } of evaluated) changeScan(db, id, { ...draft.choice, ...result })
      const scans = includedScans(scansOfRun(db, runId), site)
      const mean = meanOf(scans)
      if (!mean.ok) return mean
      // Two digits of the uncertainty and one more, as a number that is counted on further deserves.
      const text = Math.abs(mean.value.step).toFixed(decimalsFor(mean.value.standardUncertainty) + 1)
      const entries = parseEntries(study, {
        runId,
        unit: 'nm',
        opticalIndex: null,
        readings: [{ site, text }],
      })
      if (!entries.ok) return entries
      const [entry] = entries.value
      const [readingId] = keepEntries(store, { run, study }, thickness, entries.value)
      if (!entry || !readingId) throw new Error('an entry in, none out')
      linkReading(
        db,
        readingId,
        scans.map(({ id }) => id),
      )
      settleState(store, run, study, readingsOfRun(db, runId))
      const place = site === null ? run.code : `site ${site} of ${run.code}`
      describeStep(db, { label: `Kept the step height of ${place}`, studyId: study.id })
      return good({ readingId, value: entry.value })
    },
  },
}

function findScan({ db }: Store, traceId: string): Answer<Scan> {
  const scan = scanOf(db, traceId)
  return scan ? good(scan) : refuse('noSuchTrace', 'There is no such trace here (any more).')
}

function questions(store: Store, traceIds: readonly string[], choice: Pick<Scan, 'regions' | 'bow'>) {
  const scans = traceIds.map((id) => findScan(store, id))
  const missing = scans.find((scan) => !scan.ok)
  if (missing && !missing.ok) return missing
  return good(traceIds.map((id) => ({ id, packed: pointsOf(store.db, id), choice })))
}

/** Names the step in progress by the run of a trace. */
function named(store: Store, traceId: string, label: (code: string) => string): Answer<{ done: true }> {
  const scan = findScan(store, traceId)
  if (!scan.ok) return scan
  const found = findRun(store, scan.value.runId)
  if (!found.ok) return found
  const { run, study } = found.value
  describeStep(store.db, { label: label(run.code), studyId: study.id })
  return done
}

const includedScans = (scans: readonly Scan[], site: number | null) =>
  scans.filter((scan) => scan.site === site && scan.excluded === null)

/** The mean over scans, each of which must show a step: one that does not is left out by a person, with a reason. */
function meanOf(scans: readonly (Evaluated & { name: string })[]): Answer<MeanStep> {
  const without = scans.find(({ found }) => found === null)
  if (without)
    return refuse('noStep', `${without.name}: ${without.problem} Or leave this scan out, with a reason.`)
  const steps = scans.flatMap(({ found }) => (found ? [found] : []))
  if (steps.length === 0) return refuse('noScan', 'There is no scan here that counts.')
  return meanStep(steps)
}

function siteOf(
  { db }: Store,
  runId: string,
  site: number | null,
  scans: readonly Scan[],
): Result<'traces.list'>['sites'][number] {
  const mean = meanOf(includedScans(scans, site))
  const kept = readingsOfRun(db, runId)
    .filter((reading) => reading.quantity === thickness && reading.site === site)
    .map(({ id, value }) => ({ readingId: id, value, scans: scansOfReading(db, id) }))
    .find((reading) => reading.scans.length > 0)
  return {
    site,
    mean: mean.ok ? mean.value : null,
    problem: mean.ok ? null : (mean.problems[0]?.message ?? null),
    kept: kept ?? null,
  }
}
