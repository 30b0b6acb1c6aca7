import { createHash } from 'node:crypto'
import { serialize } from 'node:v8'
import { deflateSync } from 'node:zlib'
import { usualBench } from '../../electron/cli/bench.ts'
import { handlers } from '../../electron/engine/calls/all.ts'
import type { Handler } from '../../electron/engine/calls/handler.ts'
import { newId, now } from '../../electron/engine/store/ids.ts'
import {
  bringIn,
  type ImportedReading,
  type ImportWork,
  makeWhole,
} from '../../electron/engine/store/importing.ts'
import type { Store } from '../../electron/engine/store/open.ts'
import { addReading, excludeReading } from '../../electron/engine/store/readings.ts'
import { changeRun, runsOf } from '../../electron/engine/store/runs.ts'
import { describeStep, writeStep } from '../../electron/engine/store/step.ts'
import type { Run, StudyInput } from '../../shared/contract/things.ts'
import type { CallName, CheckedArgs, Result } from '../../shared/contract.ts'
import { makePlan } from '../../shared/design/make-plan.ts'
import { siteMap } from '../../shared/film/site-map.ts'
import { type Answer, good } from '../../shared/problem.ts'
import type { Random } from '../../shared/random.ts'
import { bake, design, speed, time } from '../engine/studies-for-tests.ts'

/** Of the 36 that are planned; nobody came to the others. */
const runsMade = 33
const sites = siteMap({ name: '49', diameterMm: 100, edgeExclusionMm: 6 })
const who = 'invented'

export function wanted<T>(name: string, answer: Answer<T>): T {
  if (!answer.ok) throw new Error(`${name}: ${answer.problems[0]?.message}`)
  return answer.value
}

/** The short calls of the engine on a store; each writer is one step. */
export function calling(store: Store) {
  return <N extends CallName>(name: N, args: CheckedArgs<N>): Result<N> => {
    const handler = handlers[name as keyof typeof handlers] as unknown as Handler<N>
    const answering = () => handler(args, store, { cancel: () => {} })
    return wanted(name, writeStep(store, { call: name, who, kind: 'do' }, answering).answer)
  }
}
export type Call = ReturnType<typeof calling>

const factors = [
  { ...speed, levels: 3, step: 50 },
  { ...time, levels: 3, step: 1 },
  { ...bake, levels: 4, step: 1 },
]

/** The plan that every study of the lab has. */
export const planOfStudies = () => wanted('plan', makePlan({ factors, design, bench: usualBench() }))

/** The part of the long call that writes. */
const savePlan = handlers['plans.save'] as Extract<
  (typeof handlers)['plans.save'],
  { computation: 'planWithoutWays' }
>

type StudyOfLab = {
  at: number
  study: Partial<StudyInput> & { name: string; targetNm: number; bottleId: string }
  plan: ReturnType<typeof planOfStudies>
  random: Random
}

/** Makes one study with its plan, runs, readings and history; every third has its readings from a file. All is invented. */
export function makeLabStudy(store: Store, { at, study, plan, random }: StudyOfLab): void {
  const { db } = store
  const call = calling(store)
  const { targetNm, bottleId } = study
  const { studyId } = call('studies.create', { study })
  /** A step of a run, by the store alone. */
  const step = (name: string, label: string, work: () => void) =>
    writeStep(store, { call: name, who, kind: 'do' }, () => {
      work()
      describeStep(db, { label, studyId })
      return good(true)
    })
  const saving = () => savePlan.finish(plan, { studyId, factors, design }, store)
  wanted('plans.save', writeStep(store, { call: 'plans.save', who, kind: 'do' }, saving).answer)
  for (const day of [1, 2, 3]) {
    const session = { name: `Day ${day}`, day: dayOf(at, day), operator: 'R. Invented', note: '', bottleId }
    call('sessions.keep', { studyId, session: { ...session, roomTemperature: 21, humidity: 45 } })
  }
  const runs = runsOf(db, studyId).slice(0, runsMade)
  for (const [i, { id, code }] of runs.entries())
    step('bench.updateRun', `Coated ${code}`, () =>
      changeRun(db, id, {
        ...{ state: 'coated', session: `Day ${1 + Math.floor((3 * i) / runsMade)}` },
        ...{ lot: i % 2 === 0 ? 'A' : 'B', substrate: `S${at}-${i}` },
      }),
    )
  const films = runs.map((run) => ({ run, texts: filmOf(run, targetNm, random) }))
  if (at % 3 === 2) importAll(store, studyId, films)
  else
    for (const { run, texts } of films) {
      const label = `Entered ${texts.length} readings of ${run.code}`
      step('bench.enterReadings', label, () => typeIn(store, run, texts, random))
    }
  call('studies.setModel', { studyId, model: 'log(thickness) ~ log(speed) + time + bake' })
  if (at % 7 === 0) call('studies.setArchived', { studyId, archived: true })
}

const dayOf = (study: number, day: number) =>
  new Date(Date.UTC(2016, 0, 4 + day) + 86_400_000 * ((study * 12) % 3650)).toISOString().slice(0, 10)

/** The film of a run at its sites, nm as text. */
function filmOf({ settings }: Pick<Run, 'settings'>, targetNm: number, random: Random): string[] {
  const mean = targetNm * Math.sqrt(3000 / Number(settings.speed)) * (1 + 0.004 * random.normal())
  const bowl = 0.004 * random.normal()
  return sites.map(({ xMm, yMm }) => {
    const share = (xMm ** 2 + yMm ** 2) / 2500
    return (mean * (1 + bowl * (2 * share - 1) + 0.001 * random.normal())).toFixed(1)
  })
}

/** Types the sites of a run, now and then with a slip that is corrected, and one that is excluded. */
function typeIn({ db }: Store, { id: runId }: Run, texts: readonly string[], random: Random) {
  const how = { takenAfter: 'bake' as const, opticalIndex: null }
  const film = { runId, quantity: 'thickness', unit: 'nm', repeat: 1, ...how }
  const add = (i: number, text: string, supersedes: string | null) =>
    addReading(db, {
      ...film,
      ...(sites[i] as (typeof sites)[number]),
      value: Number(text),
      text,
      supersedes,
    })
  const slip = random.below(5) === 0 ? 6 : -1
  const ids = texts.map((text, i) => add(i, i === slip ? `${text}0` : text, null))
  if (slip >= 0) add(slip, texts[slip] as string, ids[slip] as string)
  if (random.below(10) === 0) excludeReading(db, ids[20] as string, 'A particle')
  const nowhere = { site: null, xMm: null, yMm: null, takenAfter: null, supersedes: null }
  const text = (0.98 + 0.01 * random.below(2)).toFixed(2)
  addReading(db, { ...film, ...nowhere, quantity: 'fit of the gauge', unit: '', value: Number(text), text })
  changeRun(db, runId, { state: 'measured' })
}

/** Brings the readings of all runs in as one file. */
function importAll(store: Store, studyId: string, films: readonly { run: Run; texts: string[] }[]) {
  const { db } = store
  const [id, at] = [newId(), now()]
  const readings = films.flatMap(({ run, texts }) =>
    texts.map((text, i): ImportedReading => {
      const { site, xMm, yMm } = sites[i] as (typeof sites)[number]
      const place = [newId(), run.id, id, 'thickness', site, xMm, yMm] as const
      return [...place, Number(text), text, 'nm', at, null, 1, 'bake', null]
    }),
  )
  const rows = films.flatMap(({ run, texts }) => texts.map((text, i) => `${run.code},${i + 1},${text}`))
  const file = ['wafer,site,thickness (nm)', ...rows].join('\n')
  const fileName = 'gauge export (invented).csv'
  const sha256 = createHash('sha256').update(file).digest('hex')
  const counts = { runs: 0, readings: readings.length }
  const work: ImportWork = {
    ...{ studyId, at, ...counts, seen: 0, factors: [], lots: null, stages: [], newRuns: [], exclusions: [] },
    changedRuns: films.map(({ run }) => ({ id: run.id, change: { state: 'measured' } })),
    imports: [{ id, fileName, sha256, ...counts, text: deflateSync(file) }],
    pieces: [serialize(readings)],
  }
  for (const _ of bringIn(db, work));
  writeStep(store, { call: 'imports.commit', who, kind: 'do' }, () => {
    for (const { id: runId, change } of work.changedRuns) changeRun(db, runId, change)
    makeWhole(db, work)
    describeStep(db, { label: `Imported ‘${fileName}’: 0 runs, ${readings.length} readings`, studyId })
    return good(true)
  })
}
