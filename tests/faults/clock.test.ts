import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { damaged } from '../../electron/engine/store/damage.ts'
import { testFolder } from '../engine/engine-in-folder.ts'
import { forked } from '../engine/forked-engine.ts'

const day = 86_400_000

/** An engine whose clock is off by so many days. */
async function engineAt(file: string, days: number) {
  const engine = forked(file, {
    execArgv: ['--require', join(import.meta.dirname, 'shifted-clock.cjs')],
    env: { ...process.env, EVENFILM_CLOCK_SHIFT: String(days * day) },
  })
  await engine.ready
  return {
    async ok<T>(name: string, args: unknown): Promise<T> {
      const answer = await engine.call(name, args)
      if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
      return answer.value as T
    },
    async stop() {
      const gone = new Promise((done) => engine.child.once('exit', done))
      engine.child.send({ kind: 'stop' })
      await gone
    },
  }
}

test('a clock that is set back by a year keeps identifiers, imports, history, undo and the newest backup in order', async () => {
  const file = join(testFolder(), 'test.db')
  const text = (code: string) => `run,speed,thickness\n${code},3000,1500\n${code}b,3500,1400\n`
  const first = await engineAt(file, 400)
  const { studyId } = await first.ok<{ studyId: string }>('studies.create', { study: { name: 'A' } })
  await first.ok('imports.commit', { studyId, fileName: 'first.csv', text: text('W01') })
  await first.ok('backups.make', {})
  await first.stop()
  const ids = () => {
    const db = new Sqlite(file, { readonly: true })
    const all = db.prepare(`SELECT id, importId FROM reading ORDER BY rowid`).all() as Record<
      string,
      string
    >[]
    const steps = db.prepare('SELECT label FROM step ORDER BY id').pluck().all()
    db.close()
    return {
      readings: all.map(({ id }) => id as string),
      imports: all.map((row) => row.importId as string),
      steps,
    }
  }
  const before = ids()

  const second = await engineAt(file, 0)
  await second.ok('imports.commit', { studyId, fileName: 'second.csv', text: text('W02') })
  const after = ids()
  const newest = (list: string[]) => [...list].sort().at(-1)
  for (const kind of ['readings', 'imports'] as const)
    for (const id of after[kind].slice(before[kind].length))
      expect(id > (newest(before[kind]) ?? '')).toBe(true)
  const imports = await second.ok<{ fileName: string }[]>('imports.list', { studyId })
  expect(imports.map(({ fileName }) => fileName)).toEqual(['second.csv', 'first.csv'])
  expect(after.steps.slice(0, before.steps.length)).toEqual(before.steps)
  const runs = async () =>
    (await second.ok<{ code: string }[]>('bench.runs', { studyId })).map(({ code }) => code)
  await second.ok('history.undo', { studyId })
  expect(await runs()).toEqual(['W01', 'W01b'])
  await second.ok('history.redo', { studyId })
  expect(await runs()).toEqual(['W01', 'W01b', 'W02', 'W02b'])

  // The newest backup is the one that holds most, though its name is the older.
  const { name } = await second.ok<{ name: string }>('backups.make', {})
  await second.stop()
  expect(damaged(file).message).toContain(`${name}’`)
}, 60_000)
