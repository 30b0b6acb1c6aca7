import { copyFileSync, existsSync, mkdirSync, readdirSync, renameSync, rmSync } from 'node:fs'
import { dirname, join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { type TestEngine, testEngine, testFolder } from '../engine/engine-in-folder.ts'

const onUnix = test.skipIf(process.platform === 'win32')
const names = async ({ ok }: TestEngine) => (await ok('studies.list', {})).map(({ name }) => name).sort()
const rescued = (file: string) =>
  readdirSync(dirname(file)).filter((name) => name.includes('.removed.') && name.endsWith('.backup'))
const studies = async (count: number, databaseFile?: string) => {
  const engine = await testEngine({ databaseFile: databaseFile ?? join(testFolder(), 'test.db') })
  for (let i = 0; i < count; i++) await engine.ok('studies.create', { study: { name: `${i}` } })
  return engine
}

onUnix('a database that is removed while it is open is saved whole beside, and can be put back', async () => {
  const engine = await studies(3)
  rmSync(engine.file)
  const [problem] = await engine.refused('studies.create', { study: { name: 'late' } })
  const [name = ''] = rescued(engine.file)
  expect(problem).toMatchObject({ code: 'databaseMoved', message: expect.stringContaining(name) })
  expect(problem?.message).toContain(engine.file)
  // No empty database takes its place, here or at the next start.
  const later = await testEngine({ databaseFile: engine.file })
  for (const one of [engine, later])
    expect(await one.refused('studies.list', {})).toMatchObject([
      { code: 'databaseMissing', message: expect.stringContaining(name) },
    ])
  expect(existsSync(engine.file)).toBe(false)
  expect(await engine.ok('backups.restore', { name })).toEqual({ kept: null })
  expect(await names(engine)).toEqual(['0', '1', '2'])
})

onUnix('what is written just as the file goes is not confirmed, and yet saved', async () => {
  const databaseFile = join(testFolder(), 'test.db')
  let last = false
  const engine = await testEngine({ databaseFile, onChanged: () => last && rmSync(databaseFile) })
  await engine.ok('studies.create', { study: { name: '0' } })
  last = true
  // Told of the change, and not yet answered.
  expect(await engine.refused('studies.create', { study: { name: '1' } })).toMatchObject([
    { code: 'databaseMoved' },
  ])
  last = false
  await engine.ok('backups.restore', { name: rescued(databaseFile)[0] ?? '' })
  expect(await names(engine)).toEqual(['0', '1'])
})

onUnix(
  'a database that another takes the place of is saved; that one is opened, and never meets its log',
  async () => {
    const engine = await studies(3)
    const other = await studies(1)
    await other.ok('studies.update', {
      studyId: (await other.ok('studies.list', {}))[0]?.id ?? '',
      change: { name: 'other' },
    })
    await other.engine.close()
    renameSync(other.file, engine.file)
    expect(await engine.refused('studies.list', {})).toMatchObject([{ code: 'databaseMoved' }])
    expect(await names(engine)).toEqual(['other'])
    expect((await engine.ok('application.about', {})).warnings).toMatchObject([
      { code: 'databaseMoved', message: expect.stringContaining(rescued(engine.file)[0] ?? '?') },
    ])
    const [name = ''] = rescued(engine.file)
    expect((await engine.ok('backups.look', { name })).studies).toHaveLength(3)
    await engine.engine.close()
    const db = new Sqlite(engine.file)
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
    db.close()
  },
)

onUnix('a database whose folder is gone is held until the folder is back', async () => {
  const file = join(testFolder(), 'disk', 'test.db')
  mkdirSync(dirname(file))
  const engine = await studies(2, file)
  renameSync(dirname(file), `${dirname(file)} away`)
  for (let i = 0; i < 2; i++)
    expect(await engine.refused('studies.create', { study: { name: 'late' } })).toMatchObject([
      { code: 'databaseMoved', message: expect.stringContaining(`put ‘${dirname(file)}’ back`) },
    ])
  renameSync(`${dirname(file)} away`, dirname(file))
  await engine.ok('studies.create', { study: { name: '2' } })
  expect(await names(engine)).toEqual(['0', '1', '2'])
  expect(rescued(file)).toEqual([])
  // Removed for good, and only a folder of that name made anew.
  rmSync(dirname(file), { recursive: true })
  await engine.refused('studies.list', {})
  mkdirSync(dirname(file))
  await engine.refused('studies.list', {})
  await engine.ok('backups.restore', { name: rescued(file)[0] ?? '' })
  expect(await names(engine)).toEqual(['0', '1', '2'])
})

onUnix('a program that is closed saves a database that was removed before it looked', async () => {
  const engine = await studies(2)
  rmSync(engine.file)
  await engine.engine.close()
  const again = await testEngine({ databaseFile: engine.file })
  await again.ok('backups.restore', { name: rescued(engine.file)[0] ?? '' })
  expect(await names(again)).toEqual(['0', '1'])
})

onUnix('an import under way while the file is removed is not confirmed', async () => {
  const engine = await studies(1)
  const [study] = await engine.ok('studies.list', {})
  const rows = Array.from({ length: 3000 }, (_, i) => `W${i},${2000 + i},1500`)
  const text = ['run,speed,thickness', ...rows].join('\n')
  const importing = engine.engine.call(
    'imports.commit',
    { studyId: study?.id, fileName: 'a.csv', text },
    'page',
  )
  rmSync(engine.file)
  expect(await importing).toMatchObject({ ok: false })
  await engine.engine.call('studies.list', {})
  const [name = ''] = rescued(engine.file)
  await engine.ok('backups.restore', { name })
  expect(await names(engine)).toEqual(['0'])
  expect(await engine.ok('bench.runs', { studyId: study?.id ?? '' })).toEqual([])
})

onUnix('a backup that is copied over the closed database is what is opened', async () => {
  const engine = await studies(1)
  const { name } = await engine.ok('backups.make', {})
  await engine.ok('studies.create', { study: { name: 'later' } })
  await engine.engine.close()
  copyFileSync(join(dirname(engine.file), name), engine.file)
  expect(await names(await testEngine({ databaseFile: engine.file }))).toEqual(['0'])
})
