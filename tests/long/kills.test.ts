import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect, test } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { testEngine, testFolder } from '../engine/engine-in-folder.ts'
import { forked } from '../engine/forked-engine.ts'
import { typedThroughKills } from '../engine/typed-through-kills.ts'

const kills = 100

test(`an engine killed ${kills} times in mid-write loses no answered write and keeps no half of one`, async () => {
  const file = join(testFolder(), 'a.db')
  const random = seeded(1)
  const answered = new Map<string, number>()
  for (let kill = 0; kill < kills; kill++) {
    const engine = forked(file)
    await engine.ready
    const gone = new Promise((done) => engine.child.once('exit', done))
    let alive = true
    const work = async () => {
      for (let i = 0; alive; i++) {
        const made = await engine.call('studies.create', { study: { name: `${kill}/${i}` } })
        const { studyId } = made.value
        const readings = 20 + random.below(200)
        const rows = Array.from({ length: readings }, (_, row) => `W${row},${row},${1400 + row}`)
        const text = ['run,speed,thickness', ...rows].join('\n')
        answered.set(studyId as string, 0)
        const done = await engine.call('imports.commit', { studyId, fileName: 'a.csv', text })
        if (done.ok) answered.set(studyId as string, readings)
      }
    }
    void work()
    // The first import waits for its thread to start.
    await new Promise((later) => setTimeout(later, 20 + 2000 * random.uniform()))
    alive = false
    engine.child.kill('SIGKILL')
    await gone
  }
  const db = new Sqlite(file, { readonly: true })
  expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
  expect(db.pragma('foreign_key_check')).toEqual([])
  const recorded = new Map(
    (
      db.prepare('SELECT studyId, readings FROM import WHERE withdrawn = 0').all() as {
        studyId: string
        readings: number
      }[]
    ).map(({ studyId, readings }) => [studyId, readings]),
  )
  db.close()
  const { ok } = await testEngine({ databaseFile: file })
  const kept = new Map((await ok('studies.list', {})).map((study) => [study.id, study.runsMeasured]))
  expect(answered.size).toBeGreaterThan(kills)
  expect(recorded.size).toBeGreaterThan(kills / 10)
  for (const [id, readings] of answered) {
    expect(kept.has(id)).toBe(true)
    if (readings > 0) expect(kept.get(id)).toBe(readings)
  }
  // An import that was not answered is there whole or not at all.
  for (const [id, runs] of kept) expect(runs).toBe(recorded.get(id) ?? 0)
  console.log(`${kills} kills, ${answered.size} answered studies, ${recorded.size} imports: nothing lost`)
})

test(`an engine killed ${kills} times while readings are typed keeps each that was answered`, async () => {
  const answered = await typedThroughKills(kills)
  expect(answered).toBeGreaterThan(kills)
  console.log(`${kills} kills, ${answered} answered readings: nothing lost`)
})
