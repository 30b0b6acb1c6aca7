import { chmodSync, chownSync, mkdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { expect, test } from 'vitest'
import { testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { forked } from '../engine/forked-engine.ts'

/** Root may write everywhere: the engine is run as nobody then. */
const asRoot = process.getuid?.() === 0
const nobody = asRoot ? { uid: 65534, gid: 65534 } : {}
const onUnix = test.skipIf(process.platform === 'win32')

/** A database with one study, closed, in a folder with these modes; and an engine that may do no more than they say. */
async function withModes(modes: { folder: number; file: number }) {
  const folder = join(testFolder(), 'folder')
  mkdirSync(folder)
  const { file, ok, engine } = await testEngine({ databaseFile: join(folder, 'test.db') })
  await ok('studies.create', { study: { name: 'A' } })
  await engine.close()
  chmodSync(dirname(folder), 0o755)
  if (asRoot) for (const path of [folder, file]) chownSync(path, 65534, 65534)
  chmodSync(file, modes.file)
  chmodSync(folder, modes.folder)
  const { call, ready } = forked(file, nobody)
  await ready
  return { file, call, let: () => [chmodSync(folder, 0o755), chmodSync(file, 0o644)] }
}

onUnix(
  'a database in a folder that cannot be written is refused, left as it is, and opened once it can be',
  async () => {
    const { file, call, let: allow } = await withModes({ folder: 0o555, file: 0o444 })
    const before = readFileSync(file)
    for (const [name, args] of [
      ['studies.list', {}],
      ['studies.create', { study: { name: 'B' } }],
    ] as const) {
      const { ok, problems } = await call(name, args)
      expect(ok).toBe(false)
      expect(problems).toMatchObject([
        {
          code: 'databaseReadOnly',
          message: expect.stringContaining(`‘${file}’ or its folder cannot be written`),
        },
      ])
    }
    expect(readFileSync(file).equals(before)).toBe(true)
    allow()
    expect(await call('studies.create', { study: { name: 'B' } })).toMatchObject({ ok: true })
  },
  60_000,
)

onUnix(
  'a database that cannot be written is read; a change is refused with its reason, and a backup can be made',
  async () => {
    const { file, call, let: allow } = await withModes({ folder: 0o755, file: 0o444 })
    const before = readFileSync(file)
    expect(await call('studies.list', {})).toMatchObject({ ok: true, value: [{ name: 'A' }] })
    expect(await call('studies.create', { study: { name: 'B' } })).toMatchObject({
      ok: false,
      problems: [{ code: 'databaseReadOnly', message: expect.stringContaining(file) }],
    })
    expect(await call('backups.make', {})).toMatchObject({ ok: true })
    expect(readFileSync(file).equals(before)).toBe(true)
    allow()
  },
  60_000,
)

onUnix(
  'in a folder where no file may be made, that is what the first start says',
  async () => {
    const folder = testFolder()
    chmodSync(folder, 0o555)
    const { call, ready } = forked(join(folder, 'new.db'), nobody)
    await ready
    expect(await call('studies.list', {})).toMatchObject({
      ok: false,
      problems: [{ code: 'databaseReadOnly', message: expect.stringContaining(folder) }],
    })
    chmodSync(folder, 0o755)
  },
  60_000,
)
