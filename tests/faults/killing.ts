import type { ChildProcess } from 'node:child_process'
import { cpSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { expect } from 'vitest'
import type { Random } from '../../shared/random.ts'
import { testFolder } from '../engine/engine-in-folder.ts'

/** A process at work on a copy of a folder, whose database is `test.db`. */
export type AtWork = {
  child: ChildProcess
  ready: Promise<unknown>
  /** Does the work; `answered` is told each thing that was confirmed to the caller. */
  work(answered: (what: string) => void): Promise<unknown>
}

/** Work that a process is killed in. */
export type Killable = {
  /** The folder that every try starts from with a copy. */
  folder: string
  /** @param preload modules that the process loads before anything of its own */
  start(file: string, preload: readonly string[], environment: Record<string, string>): AtWork
  /** Whether all is well after a kill: what was answered is there, and what was not wholly or not at all. */
  check(file: string, answered: readonly string[]): Promise<void>
}

/** Files that may lie beside a database once it has been opened again and closed. */
const expected = /^test\.db(-wal|-shm|\..*\.backup|\.damaged\.[^.]*(-wal|-shm)?)?$/

/**
 * Lets a process do its work and kills it.
 *
 * @param by.after kills after so many ms of work; at its end where it is null
 * @param by.atFileCall lets it kill itself just before a call of the file system (die-at-file-call.cjs)
 * @returns time that the work took, ms; null where it was killed in it
 */
export async function killedIn(
  killable: Killable,
  by: { after?: number | null; atFileCall?: string },
): Promise<number | null> {
  const folder = testFolder()
  cpSync(killable.folder, folder, { recursive: true })
  const file = join(folder, 'test.db')
  const { atFileCall } = by
  const preload = atFileCall === undefined ? [] : [join(import.meta.dirname, 'die-at-file-call.cjs')]
  const { child, ready, work } = killable.start(file, preload, {
    ...(atFileCall === undefined ? {} : { EVENFILM_DIE_AT: atFileCall }),
  })
  const gone = new Promise((done) => child.once('exit', () => done('gone')))
  const begun = await Promise.race([ready, gone])
  const answered: string[] = []
  const started = performance.now()
  let took: number | null = null
  if (begun !== 'gone') {
    const over = work((what) => answered.push(what)).then(() => {
      took = performance.now() - started
    })
    if (typeof by.after === 'number') await new Promise((later) => setTimeout(later, by.after as number))
    else await Promise.race([over, gone])
  }
  child.kill('SIGKILL')
  await gone
  const confirmed = [...answered]
  await killable.check(file, confirmed)
  wholeAfterwards(file)
  return took
}

/** Nothing is damaged, nothing refers to what is not there, and no temporary file is left. */
function wholeAfterwards(file: string): void {
  const folder = join(file, '..')
  const names = readdirSync(folder)
  expect(names.filter((name) => !expected.test(name))).toEqual([])
  for (const name of names.filter((each) => each === 'test.db' || each.endsWith('.backup'))) {
    const db = new Sqlite(join(folder, name), { readonly: true })
    expect(db.pragma('integrity_check', { simple: true }), name).toBe('ok')
    expect(db.pragma('foreign_key_check'), name).toEqual([])
    db.close()
  }
}

/**
 * Kills a process so many times, two at once, at moments spread over a tenth more than the time that the work takes
 * undisturbed.
 *
 * @returns how many kills came before the work was done
 */
export async function killedAtRandom(killable: Killable, kills: number, random: Random): Promise<number> {
  const whole = (await killedIn(killable, { after: null })) as number
  const moments = Array.from({ length: kills }, (_, i) => ((i + random.uniform()) / kills) * 1.1 * whole)
  let within = 0
  const lane = async () => {
    for (let after = moments.shift(); after !== undefined; after = moments.shift())
      if ((await killedIn(killable, { after })) === null) within++
  }
  await Promise.all([lane(), lane()])
  return within
}

/**
 * Kills a process before each call of the file system that it makes, one after another, until it has done its work.
 *
 * @returns how many kills came before the work was done
 */
export async function killedAtEveryFileCall(killable: Killable): Promise<number> {
  let kills = 0
  const lane = async (thread: string) => {
    for (let call = 1; call < 100; call++) {
      if ((await killedIn(killable, { after: null, atFileCall: `${thread} ${call}` })) !== null) return
      kills++
    }
    throw new Error('The work does not come to its end.')
  }
  await Promise.all([lane('main'), lane('thread')])
  return kills
}
