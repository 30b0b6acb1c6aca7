import { fork } from 'node:child_process'
import { once } from 'node:events'
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { lookInside } from '../../electron/engine/store/look-inside.ts'
import { migrations } from '../../electron/engine/store/migrations/all.ts'
import { openStore } from '../../electron/engine/store/open.ts'
import { seeded } from '../../shared/random.ts'
import { type TestEngine, testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { forked } from '../engine/forked-engine.ts'
import { longFile } from '../engine/long-file.ts'
import { plannedStudy } from '../engine/studies-for-tests.ts'
import { type Killable, killedAtEveryFileCall, killedAtRandom, killedIn } from './killing.ts'
import { slowMigrations } from './slow-migrations.ts'

const long = Boolean(process.env.EVENFILM_TEST_LONG)
/** Kills at random of each kind; many more, and of more kinds, with `npm run test:long`. */
const kills = long ? 40 : 1
const patience = long ? 600_000 : 60_000

const commandLine = join(import.meta.dirname, '../../electron/cli.ts')

type Call = ReturnType<typeof forked>['call']

/** An engine that is killed while it does some work. */
const engineAtWork =
  (work: (call: Call, answered: (what: string) => void, file: string) => Promise<void>): Killable['start'] =>
  (file, preload, environment) => {
    const execArgv = preload.flatMap((module) => ['--require', module])
    const { call, ready, child } = forked(file, {
      execArgv,
      env: { ...process.env, ...environment },
    })
    return { child, ready, work: (answered) => work(call, answered, file) }
  }

/** Opens the database as the next start would, and closes it. */
async function reopened<T>(databaseFile: string, look: (engine: TestEngine) => Promise<T>): Promise<T> {
  const engine = await testEngine({ databaseFile })
  const seen = await look(engine)
  await engine.engine.close()
  return seen
}

/** The folder of a database that was made by an engine. */
async function folderOf(make: (engine: TestEngine) => Promise<unknown>): Promise<string> {
  const databaseFile = join(testFolder(), 'test.db')
  await reopened(databaseFile, make)
  return dirname(databaseFile)
}

const names = async ({ ok }: TestEngine) => (await ok('studies.list', {})).map(({ name }) => name).sort()

/** Kills a process in its work, and tells how often. */
async function killed(killable: Killable, seed: number): Promise<void> {
  const within = await killedAtRandom(killable, kills, seeded(seed))
  if (!long) return
  expect(within).toBeGreaterThan(kills / 3)
  console.log(`${expect.getState().currentTestName}: killed ${kills} times, ${within} within the work`)
}

test(
  'readings that are typed',
  async () => {
    let runId = ''
    const folder = await folderOf(async ({ ok }) => {
      const { studyId } = await ok('studies.create', { study: { name: 'Typed', siteMap: '49' } })
      runId = (await ok('plans.addRun', { studyId, settings: {}, lot: null })).runId
    })
    // Three sites at a time, each three times over.
    const entries = Array.from({ length: 48 }, (_, i) => ({
      sites: [0, 1, 2].map((k) => 1 + ((3 * i + k) % 48)),
      text: `${1400 + i}.5`,
    }))
    await killed(
      {
        folder,
        start: engineAtWork(async (call, answered) => {
          for (const { sites, text } of entries) {
            const readings = sites.map((site) => ({ site, text }))
            const { ok } = await call('bench.enterReadings', { runId, unit: 'nm', readings })
            expect(ok).toBe(true)
            answered(text)
          }
        }),
        async check(file, answered) {
          const { readings } = await reopened(file, ({ ok }) => ok('bench.card', { runId }))
          const standing = new Map(readings.map(({ site, text }) => [site, text]))
          const after = (count: number) =>
            new Map(entries.slice(0, count).flatMap(({ sites, text }) => sites.map((site) => [site, text])))
          const byNumber = (a: [number | null, string], b: [number | null, string]) =>
            (a[0] ?? 0) - (b[0] ?? 0)
          const whole = [answered.length, answered.length + 1].map((count) =>
            [...after(count)].sort(byNumber),
          )
          expect(whole).toContainEqual([...standing].sort(byNumber))
        },
      },
      1,
    )
  },
  patience,
)

/** An import is there whole, where it was answered, or not at all. */
async function importedWhole(file: string, studyId: string, readings: number, answered: boolean) {
  const runs = await reopened(file, async ({ ok }) => {
    const imports = await ok('imports.list', { studyId })
    const runs = await ok('bench.runs', { studyId })
    expect(imports.map((one) => one.readings)).toEqual(runs.length === 0 ? [] : [readings])
    return runs.length
  })
  const db = new Sqlite(file, { readonly: true })
  const kept = db.prepare('SELECT count(*) FROM reading').pluck().get()
  db.close()
  const all = [readings / 500, readings]
  expect(answered ? [all] : [[0, 0], all]).toContainEqual([runs, kept])
}

test.runIf(long)(
  'a file that is imported',
  async () => {
    let studyId = ''
    const readings = long ? 6000 : 2000
    const folder = await folderOf(async (engine) => {
      studyId = (await engine.ok('studies.create', { study: { name: 'Imported' } })).studyId
    })
    await killed(
      {
        folder,
        start: engineAtWork(async (call, answered) => {
          const { ok } = await call('imports.commit', {
            studyId,
            fileName: 'a.csv',
            text: longFile(readings),
          })
          expect(ok).toBe(true)
          answered('import')
        }),
        async check(file, answered) {
          await importedWhole(file, studyId, readings, answered.length > 0)
        },
      },
      2,
    )
  },
  patience,
)

test(
  'a file that is imported on the command line',
  async () => {
    let studyId = ''
    const readings = long ? 6000 : 2000
    const folder = await folderOf(async ({ ok }) => {
      studyId = (await ok('studies.create', { study: { name: 'Imported' } })).studyId
    })
    const csv = join(testFolder(), 'a.csv')
    writeFileSync(csv, longFile(readings))
    const killable: Killable = {
      folder,
      start(file, preload, environment) {
        const child = fork(commandLine, ['import', csv, '--data', file, '--study', 'Imported'], {
          execArgv: preload.flatMap((module) => ['--require', module]),
          env: { ...process.env, ...environment },
          stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
        })
        const ended = once(child, 'exit')
        return {
          child,
          ready: once(child, 'spawn'),
          async work(answered) {
            const [code, signal] = await ended
            // What was killed has not come to its end.
            if (signal !== null) return new Promise(() => {})
            expect(code).toBe(0)
            answered('import')
          },
        }
      },
      check: (file, answered) => importedWhole(file, studyId, readings, answered.length > 0),
    }
    // From source it takes seconds to start; one kill is enough where there are not many.
    if (long) await killed(killable, 7)
    else await killedIn(killable, { after: 300 + 1200 * seeded(7).uniform() })
  },
  patience,
)

test.runIf(long)(
  'a database that is brought to a newer version',
  async () => {
    const folder = await folderOf(plannedStudy)
    const newer = migrations.length + slowMigrations.length
    await killed(
      {
        folder,
        start(file) {
          const child = fork(join(import.meta.dirname, 'migrating.ts'))
          return {
            child,
            ready: once(child, 'message'),
            async work(answered) {
              child.send(file)
              answered(String(await once(child, 'message')))
            },
          }
        },
        async check(file, answered) {
          const db = new Sqlite(file, { readonly: true })
          const version = db.pragma('user_version', { simple: true }) as number
          const tables = db.prepare(`SELECT name FROM sqlite_schema WHERE name IN ('later', 'latest')`).all()
          db.close()
          expect(tables).toHaveLength(version - migrations.length)
          if (answered.length > 0) expect(version).toBe(newer)
          const opened = openStore(file, { migrations: [...migrations, ...slowMigrations] })
          if (!opened.ok) throw new Error(opened.problems[0]?.message)
          const count = (what: string) =>
            opened.value.db.prepare(`SELECT count(*) FROM ${what}`).pluck().get()
          expect([opened.value.version, count('run'), count('later'), count('latest')]).toEqual([
            newer,
            18,
            5400,
            5400,
          ])
          opened.value.db.close()
        },
      },
      3,
    )
  },
  patience,
)

test.runIf(long)(
  'a backup that is made',
  async () => {
    const folder = await folderOf(plannedStudy)
    await killed(backingUp(folder), 4)
  },
  patience,
)

const backingUp = (folder: string): Killable => ({
  folder,
  start: engineAtWork(async (call, answered) => {
    const { ok, value } = await call('backups.make', {})
    expect(ok).toBe(true)
    answered(value.name as string)
  }),
  async check(file, answered) {
    expect(await reopened(file, names)).not.toEqual([])
    for (const name of answered) expect(lookInside(join(dirname(file), name))).toMatchObject({ ok: true })
  },
})

/** A database with a study A in a backup, and B beside it since. */
async function withBackup() {
  let name = ''
  const folder = await folderOf(async ({ ok }) => {
    await ok('studies.create', { study: { name: 'A' } })
    name = (await ok('backups.make', {})).name
    await ok('studies.create', { study: { name: 'B' } })
  })
  return { folder, name }
}

const puttingBack = (name: string) =>
  engineAtWork(async (call, answered) => {
    const { ok, value } = await call('backups.restore', { name })
    expect(ok).toBe(true)
    answered(value.kept as string)
  })

const restoring = (folder: string, name: string): Killable => ({
  folder,
  start: puttingBack(name),
  async check(file, answered) {
    const standing = await reopened(file, names)
    expect(answered.length > 0 ? [['A']] : [['A'], ['A', 'B']]).toContainEqual(standing)
    // What was there before is kept in any case.
    const backups = await reopened(file, async ({ ok }) => {
      const { backups } = await ok('backups.list', {})
      return Promise.all(backups.map((each) => ok('backups.look', { name: each.name })))
    })
    const held = [standing, ...backups.map(({ studies }) => studies.map((study) => study.name).sort())]
    expect(held).toContainEqual(['A', 'B'])
    expect(held).toContainEqual(['A'])
  },
})

test(
  'a backup that is put in the place of the database',
  async () => {
    const { folder, name } = await withBackup()
    await killed(restoring(folder, name), 5)
  },
  patience,
)

const replacing = (folder: string, name: string): Killable => ({
  folder,
  start: puttingBack(name),
  async check(file, answered) {
    const damaged = readFileSync(join(folder, 'test.db'))
    const engine = await testEngine({ databaseFile: file })
    const opened = await engine.engine.call('studies.list', {})
    if (!opened.ok) {
      expect(answered).toEqual([])
      expect(opened.problems).toMatchObject([{ code: 'databaseDamaged' }])
      expect(readFileSync(file).equals(damaged)).toBe(true)
      await engine.ok('backups.restore', { name })
    }
    expect(await names(engine)).toEqual(['A'])
    await engine.engine.close()
    const kept = readdirSync(dirname(file)).filter((each) => each.includes('.damaged.'))
    expect(kept.map((each) => readFileSync(join(dirname(file), each)).equals(damaged))).toEqual([true])
  },
})

/** Overwrites pages of the database in a folder. */
function hurtPages(folder: string): void {
  const file = join(folder, 'test.db')
  const bytes = readFileSync(file)
  bytes.fill(0xa5, 4096, 3 * 4096)
  writeFileSync(file, bytes)
}

test.runIf(long)(
  'a backup that takes the place of a damaged database',
  async () => {
    const { folder, name } = await withBackup()
    hurtPages(folder)
    await killed(replacing(folder, name), 6)
  },
  patience,
)

test(
  'the file of a study that is brought in',
  async () => {
    const other = await testEngine()
    const { studyId, runs } = await plannedStudy(other)
    for (const { id: runId } of runs) {
      const readings = Array.from({ length: 9 }, (_, i) => ({ site: i + 1, text: `15${i}0` }))
      await other.ok('bench.enterReadings', { runId, unit: 'nm', readings })
    }
    const { bytes, hash } = await other.ok('studies.file', { studyId })
    const folder = await folderOf(({ ok }) => ok('studies.create', { study: { name: 'Here' } }))
    await killed(
      {
        folder,
        start: engineAtWork(async (call, answered) => {
          const { ok } = await call('studies.bringIn', { fileName: 'sweep.evenfilm', bytes, way: 'new' })
          expect(ok).toBe(true)
          answered('brought in')
        }),
        async check(file, answered) {
          const [all, found] = await reopened(file, async (engine) => {
            const all = await names(engine)
            return [all, all.length > 1 ? (await engine.ok('studies.hash', { studyId })).hash : null]
          })
          const whole = [['Here', 'Sweep'], hash]
          expect(answered.length > 0 ? [whole] : [[['Here'], null], whole]).toContainEqual([all, found])
        },
      },
      7,
    )
  },
  patience,
)

test.runIf(long)(
  'a backup, and one that is put back, before each call of the file system',
  async () => {
    const plain = await withBackup()
    const hurt = await withBackup()
    hurtPages(hurt.folder)
    const counts = [
      await killedAtEveryFileCall(backingUp(plain.folder)),
      await killedAtEveryFileCall(restoring(plain.folder, plain.name)),
      await killedAtEveryFileCall(replacing(hurt.folder, hurt.name)),
    ]
    console.log(`killed before ${counts.join(' + ')} calls of the file system`)
    for (const count of counts) expect(count).toBeGreaterThan(2)
  },
  patience,
)
