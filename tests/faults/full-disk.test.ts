import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { evenfilmHere } from '../cli/evenfilm.ts'
import { type TestEngine, testEngine } from '../engine/engine-in-folder.ts'
import { demoStudy } from '../engine/studies-for-tests.ts'
import { smallDisk } from './full-disk.ts'

const long = Boolean(process.env.EVENFILM_TEST_LONG)
const why = 'No disk may be mounted here: run as root on Linux to see what a full disk does.'

/** A database with the demo study on a small disk. */
async function onSmallDisk(skip: (why: string) => void) {
  const disk = smallDisk(30_000_000)
  if (!disk) return skip(why) as never
  const engine = await testEngine({ databaseFile: join(disk.folder, 'test.db') })
  const { studyId, runs } = await demoStudy(engine)
  return { disk, engine, studyId, runs }
}

/** That a problem is told as one of a full disk, with the file and the way on. */
const full = (file: string) => [
  {
    code: 'diskFull',
    message: expect.stringMatching(new RegExp(`${file}.* full\\..*Make room and try again\\.$`)),
  },
]
const hash = async ({ ok }: TestEngine, studyId: string) => (await ok('studies.hash', { studyId })).hash

/** Nothing is damaged and nothing half written is left. */
function whole({ file }: TestEngine, folder: string) {
  const db = new Sqlite(file, { readonly: true })
  expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
  expect(db.pragma('foreign_key_check')).toEqual([])
  db.close()
  expect(readdirSync(folder).filter((name) => /unfinished|replacing/.test(name))).toEqual([])
}

test('readings on a full disk: each that was answered is kept, the next is refused, and goes in once there is room', async ({
  skip,
}) => {
  const { disk, engine, studyId, runs } = await onSmallDisk(skip)
  const runId = runs[0]?.id ?? ''
  disk.fill(200_000)
  const enter = (text: string) =>
    engine.engine.call('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text }] })
  let last = ''
  for (let i = 0; ; i++) {
    const answer = await enter(`${1400 + i}`)
    if (!answer.ok) {
      expect(answer.problems).toMatchObject(full(engine.file))
      break
    }
    last = `${1400 + i}`
    expect(i).toBeLessThan(1000)
  }
  expect(last).not.toBe('')
  const standing = async (one: TestEngine) =>
    (await one.ok('bench.card', { runId })).readings.find(({ site }) => site === 1)?.text
  expect(await standing(engine)).toBe(last)
  // A start on the full disk, and then room.
  await engine.engine.close()
  const again = await testEngine({ databaseFile: engine.file })
  expect(await standing(again)).toBe(last)
  disk.clear()
  await again.ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: '1999' }] })
  expect(await standing(again)).toBe('1999')
  expect(await hash(again, studyId)).toMatch(/^[0-9a-f]{64}$/)
  whole(again, disk.folder)
})

test.runIf(long).for([300_000, 1_500_000])(
  'an import and a study’s file that are to come in with %i bytes left leave nothing, and come in once there is room',
  { timeout: 60_000 },
  async (left, { skip }) => {
    const { disk, engine, studyId } = await onSmallDisk(skip)
    const before = await hash(engine, studyId)
    const rows = Array.from(
      { length: 8_000 },
      (_, i) =>
        `N${Math.floor(i / 500)},${(i % 25) * 2 - 24},${(Math.floor(i / 25) % 20) * 2 - 19},${1500 + (i % 89)}`,
    )
    const text = ['wafer,x (mm),y (mm),thickness (nm)', ...rows].join('\n')
    const empty = (await engine.ok('studies.create', { study: { name: 'Empty' } })).studyId
    const importing = { studyId: empty, fileName: 'a.csv', text }
    const { bytes } = await engine.ok('studies.file', { studyId })
    const coming = { fileName: 'demo.evenfilm', bytes, way: 'copy' as const }
    disk.fill(left)
    expect(await engine.refused('imports.commit', importing)).toMatchObject(full(engine.file))
    expect(await hash(engine, studyId)).toBe(before)
    disk.fill(Math.min(left, 300_000))
    expect(await engine.refused('studies.bringIn', coming)).toMatchObject(full(engine.file))
    expect(await engine.ok('bench.runs', { studyId: empty })).toEqual([])
    expect(await engine.ok('studies.list', {})).toHaveLength(2)
    disk.clear()
    whole(engine, disk.folder)
    await engine.ok('studies.bringIn', coming)
    await engine.ok('imports.commit', importing)
    expect(await engine.ok('studies.list', {})).toHaveLength(3)
    expect(await engine.ok('bench.runs', { studyId: empty })).toHaveLength(16)
  },
)

test.for(long ? [50_000, 500_000, 1_500_000] : [500_000])(
  'a backup that is made or put back with %i bytes left leaves all as it was',
  { timeout: 60_000 },
  async (left, { skip }) => {
    const { disk, engine, studyId, runs } = await onSmallDisk(skip)
    const { name } = await engine.ok('backups.make', {})
    await engine.ok('bench.enterReadings', {
      runId: runs[0]?.id ?? '',
      unit: 'nm',
      readings: [{ site: 1, text: '1777' }],
    })
    const before = await hash(engine, studyId)
    disk.fill(left)
    for (const call of ['backups.make', 'backups.restore'] as const) {
      const answer = await engine.engine.call(call, { name })
      // With some room left the first may still succeed.
      if (!answer.ok) expect(answer.problems).toMatchObject(full(engine.file))
      else expect([call, left]).not.toEqual(['backups.restore', 50_000])
      if (call === 'backups.make' || !answer.ok) expect(await hash(engine, studyId)).toBe(before)
      whole(engine, disk.folder)
      disk.fill(left)
    }
    disk.clear()
    await engine.ok('backups.restore', { name })
    expect(await hash(engine, studyId)).not.toBe(before)
    whole(engine, disk.folder)
  },
)

test('a study’s file, a table and a report on a full disk: named, and what stood there before stays', {
  timeout: 60_000,
}, async ({ skip }) => {
  const { disk, engine, studyId } = await onSmallDisk(skip)
  await engine.engine.close()
  const on = ['--data', engine.file, '--study', studyId]
  const [study, table, report] = ['a.evenfilm', 'a.csv', 'a.html'].map((name) => join(disk.folder, name)) as [
    string,
    string,
    string,
  ]
  const commands = [
    ['export', ...on, '--whole', study],
    ['export', ...on, '--runs', table],
    ['report', ...on, '--out', report],
  ]
  for (const command of commands) expect(await evenfilmHere(command)).toMatchObject({ exit: 0 })
  const before = [study, table, report].map((file) => readFileSync(file))
  for (const [i, command] of commands.entries()) {
    disk.fill(40_000)
    // The log of the database takes what is left.
    disk.fill(0)
    const ended = await evenfilmHere(command)
    const file = [study, table, report][i] ?? ''
    expect(ended.exit).toBe(2)
    expect(ended.stderr).toContain(ended.stderr.includes(file) ? file : engine.file)
    expect(ended.stderr).toMatch(/full.*Make room/)
    expect(ended.stderr).not.toMatch(/defect|ENOSPC/)
    expect(readFileSync(file).equals(before[i] as Buffer)).toBe(true)
  }
  disk.clear()
  expect(await evenfilmHere(commands[1] as string[])).toMatchObject({ exit: 0 })
  expect(readdirSync(disk.folder).filter((name) => name.includes('unfinished'))).toEqual([])
})
