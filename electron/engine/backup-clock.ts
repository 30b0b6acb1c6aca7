import type { Answer, Problem } from '../../shared/problem.ts'
import type { Workers } from './compute/workers.ts'
import { changedSinceBackup } from './store/backups.ts'
import { withFaults } from './store/faults.ts'
import type { Store } from './store/open.ts'

/** How often work is backed up, ms. */
const backUpEvery = 3_600_000
/** How long after the start the first backup is made, so that it is in nobody's way, ms. */
const backUpAfter = 2000

export type BackupClock = {
  /** Makes a backup on a thread beside, and takes away those that are too many but for one that is spared; its name. */
  backUp(occasion: string, spared?: string): Promise<Answer<{ name: string }>>
  /** The same where something has changed since the last. */
  backUpChanged(store: Store, occasion: string): Promise<Answer<unknown>>
  /** Makes one soon and then every hour, where something has changed. */
  start(): void
  stop(): void
}

/**
 * The backups of the database of an engine.
 *
 * @param by.current the open database, or null
 * @param by.tell says that there is something new to show
 */
export function backupClock(
  file: string,
  by: { workers: Workers; current(): Store | null; tell(): void },
): BackupClock {
  const clocks: NodeJS.Timeout[] = []
  const backUp: BackupClock['backUp'] = async (occasion, spared) =>
    (await by.workers.compute({
      computation: 'backup',
      input: { databaseFile: file, occasion, spared: spared ?? null },
    })) as Answer<{ name: string }>
  const backUpChanged: BackupClock['backUpChanged'] = async (store, occasion) => {
    const changed = withFaults(file, () => ({ ok: true as const, value: changedSinceBackup(store.db, file) }))
    return changed.ok && changed.value ? backUp(occasion) : changed
  }
  /** One that fails is said in the page, and tried again in an hour. */
  const nowAndThen = async (occasion: string) => {
    const store = by.current()
    if (!store) return
    const made = await backUpChanged(store, occasion)
    const others = store.warnings.filter(({ code }) => code !== 'backupFailed')
    store.warnings = made.ok ? others : [...others, backupFailed(made.problems)]
    if (!made.ok && by.current()) by.tell()
  }
  return {
    backUp,
    backUpChanged,
    start() {
      clocks.push(
        setTimeout(() => nowAndThen('start'), backUpAfter),
        setInterval(() => nowAndThen('hour'), backUpEvery),
      )
      for (const clock of clocks) clock.unref()
    },
    stop() {
      for (const clock of clocks) clearInterval(clock)
    },
  }
}

const backupFailed = (problems: Problem[]): Problem => ({
  code: 'backupFailed',
  message: `No backup could be made. ${problems.map(({ message }) => message).join(' ')}`,
})
