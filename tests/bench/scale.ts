import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startWorkers } from '../../electron/engine/compute/workers.ts'
import { type Engine, startEngine } from '../../electron/engine/engine.ts'
import { siteMap } from '../../shared/film/site-map.ts'
import { bake, design, speed, time } from '../engine/studies-for-tests.ts'
import { type Ask, asking } from './answers-study.ts'
import { median, rounded } from './figure.ts'
import { makeLargeDatabase } from './large-database.ts'

/**
 * Milliseconds of what a person does all day, in an empty database and in ones of a tenth, one and five times a lab's ten
 * years (large-database.ts): `node tests/bench/scale.ts [FILE] [SIZES] [FOLDER]` prints JSON, and writes it to the file.
 * Every database holds one small study more, in which the work is done; `ratio` is to the same in the empty one. The
 * sizes take turns at every measurement. `SIZES` is such as 0.1,1; the databases stay in the folder where one is named.
 */

const [out, sizes = '0.1,1,5', kept] = process.argv.slice(2)
const reps = 15
const opens = 5

type Probe = { studyId: string; runId: string }
type Database = { times: number; file: string; engine: Engine; ask: Ask; probe: Probe }

const sites = siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 })

/** The study in which the work is done: 12 runs that are read, with a model; it is invented. */
async function probeIn(ask: Ask): Promise<Probe> {
  const { studyId } = await ask('studies.create', {
    study: { name: 'Probe', targetNm: 1500, toleranceNm: 30 },
  })
  const factors = [speed, time, bake].map((factor) => ({ ...factor, levels: factor === speed ? 3 : 2 }))
  await ask('plans.save', { studyId, factors, design })
  const runs = await ask('bench.runs', { studyId })
  const read = runs.map(({ id, settings }, run) => ({
    runId: id,
    readings: sites.map(({ site }) => {
      const film = 1500 * Math.sqrt(3000 / Number(settings.speed)) * (1 - 0.0005 * Number(settings.time))
      return { site, text: (film * (1 + 0.003 * Math.sin(7 * run + 3 * site))).toFixed(1) }
    }),
  }))
  await ask('bench.enterBlock', { studyId, unit: 'nm', runs: read })
  await ask('studies.setModel', { studyId, model: 'log(thickness) ~ log(speed) + time + bake' })
  return { studyId, runId: runs.at(-1)?.id as string }
}

/** What is measured by name; `i` lets nothing be asked twice. */
const acts: Record<string, (database: Database, i: number) => Promise<unknown>> = {
  'list studies': ({ ask }) => ask('studies.list', {}),
  'find runs by part of a code': ({ ask }, i) => ask('studies.findRuns', { words: `W0${1 + (i % 9)}` }),
  'find runs by a code that is none': ({ ask }, i) => ask('studies.findRuns', { words: `Q${i}` }),
  'open a study': async ({ ask, probe: { studyId } }) => {
    await ask('studies.get', { studyId })
    await ask('bench.runs', { studyId })
  },
  'open a run': ({ ask, probe: { runId } }) => ask('bench.card', { runId }),
  'type a reading to saved': ({ ask, probe: { runId } }, i) =>
    ask('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: `${1500 + i}` }] }),
  undo: ({ ask, probe: { studyId } }) => ask('history.undo', { studyId }),
  redo: ({ ask, probe: { studyId } }) => ask('history.redo', { studyId }),
  'change a run': ({ ask, probe: { runId } }, i) =>
    ask('bench.updateRun', { runId, change: { note: `Note ${i}` } }),
  'make a run': ({ ask, probe: { studyId } }, i) =>
    ask('plans.addRun', { studyId, settings: { speed: 3000 + i, time: 40, bake: 100 }, lot: null }),
  'page of history': ({ ask, probe: { studyId } }) => ask('history.read', { studyId }),
  'history of a run': ({ ask, probe: { studyId, runId } }) => ask('history.read', { studyId, runId }),
  'steps that can be undone': ({ ask, probe: { studyId } }) => ask('history.list', { studyId }),
  'steps of no study': ({ ask }) => ask('history.list', { studyId: null }),
  tools: ({ ask }) => ask('tools.list', {}),
  bottles: ({ ask }) => ask('bottles.list', {}),
  'sessions of a study': ({ ask, probe: { studyId } }) => ask('sessions.list', { studyId }),
  fit: ({ ask, probe: { studyId } }, i) =>
    ask('fits.fit', {
      studyId,
      response: 'thickness',
      model: 'log(thickness) ~ log(speed) + time',
      level: 0.9 + i / 1000,
    }),
  'hash of a study': ({ ask, probe: { studyId } }) => ask('studies.hash', { studyId }),
  'state of backups': ({ ask }) => ask('backups.list', {}),
}

const folder = kept ?? mkdtempSync(join(tmpdir(), 'evenfilm-bench-scale-'))
const workers = startWorkers()
const open = (file: string) => startEngine({ databaseFile: file, workers })
const databases: Database[] = []
const taken = new Map<string, Map<number, number[]>>()
async function take(name: string, times: number, work: () => Promise<unknown>) {
  const start = performance.now()
  await work()
  const ms = performance.now() - start
  const of = taken.get(name) ?? new Map<number, number[]>()
  taken.set(name, of)
  of.set(times, [...(of.get(times) ?? []), ms])
}

try {
  const made: Record<string, unknown> = {}
  for (const times of [0, ...sizes.split(',').map(Number)]) {
    const file = join(folder, `${times}.evenfilm`)
    if (!existsSync(file)) made[times] = await makeLargeDatabase(file, { times })
    const engine = await open(file)
    const ask = asking(engine)
    databases.push({ times, file, engine, ask, probe: await probeIn(ask) })
  }
  for (const [name, act] of Object.entries(acts)) {
    for (let i = 0; i <= reps; i++)
      for (const database of databases) {
        if (i === 0) await act(database, i)
        else await take(name, database.times, () => act(database, i))
      }
    console.error(name)
  }
  for (const { engine } of databases) await engine.close()
  for (let i = 0; i < opens; i++)
    for (const { times, file } of databases) {
      let engine: Engine | undefined
      await take('open the file and list studies', times, async () => {
        engine = await open(file)
        await asking(engine)('studies.list', {})
      })
      await engine?.close()
    }
  const result = {
    made,
    ms: Object.fromEntries(
      [...taken].map(([name, of]) => {
        const base = median(of.get(0) as number[])
        return [
          name,
          Object.fromEntries(
            [...of].map(([times, values]) => [
              times === 0 ? 'empty' : `${times}`,
              {
                median: rounded(median(values)),
                ...(times === 0 ? {} : { ratio: rounded(median(values) / base) }),
              },
            ]),
          ),
        ]
      }),
    ),
  }
  const json = `${JSON.stringify(result, null, 1)}\n`
  process.stdout.write(json)
  if (out) writeFileSync(out, json)
} finally {
  await workers.close()
  if (!kept) rmSync(folder, { recursive: true, force: true })
}
