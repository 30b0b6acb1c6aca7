import { join } from 'node:path'
import { expect } from 'vitest'
import { seeded } from '../../shared/random.ts'
import { testEngine, testFolder } from './engine-in-folder.ts'
import { forked } from './forked-engine.ts'

/**
 * Types readings one after the other into the runs of a study while the engine is killed so many times: every reading
 * that was answered stands as it was typed, and of the one under way nothing or all of it.
 *
 * @returns how many readings were answered
 */
export async function typedThroughKills(kills: number): Promise<number> {
  const file = join(testFolder(), 'typed.db')
  const random = seeded(kills)
  const engine = await testEngine({ databaseFile: file })
  const { studyId } = await engine.ok('studies.create', { study: { name: 'Typed', siteMap: '49' } })
  const { runId } = await engine.ok('plans.addRun', { studyId, settings: {}, lot: null })
  await engine.engine.close()
  /** By site: the last text that was answered, and those that were sent after it. */
  const typed = new Map<number, { answered: string | null; sent: string[] }>()
  let answered = 0
  for (let kill = 0; kill < kills; kill++) {
    const { call, child, ready } = forked(file)
    await ready
    const gone = new Promise((done) => child.once('exit', done))
    let alive = true
    const work = async () => {
      while (alive) {
        const site = 1 + random.below(49)
        const text = `${1400 + random.below(200)}.${kill % 10}`
        const place = typed.get(site) ?? { answered: null, sent: [] }
        typed.set(site, place)
        place.sent.push(text)
        const { ok } = await call('bench.enterReadings', { runId, unit: 'nm', readings: [{ site, text }] })
        expect(ok).toBe(true)
        typed.set(site, { answered: text, sent: [] })
        answered++
      }
    }
    void work()
    await new Promise((later) => setTimeout(later, 30 + 200 * random.uniform()))
    alive = false
    child.kill('SIGKILL')
    await gone
  }
  const { ok } = await testEngine({ databaseFile: file })
  const { readings } = await ok('bench.card', { runId })
  const standing = new Map(readings.map(({ site, text }) => [site, text]))
  for (const [site, { answered: last, sent }] of typed)
    expect([last ?? undefined, ...sent], `site ${site}`).toContain(standing.get(site))
  return answered
}
