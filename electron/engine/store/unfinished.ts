import { readdirSync, rmSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'

/** Beyond this nobody writes to an unfinished file any more, whoever has the number of its process now, ms. */
const writtenWithin = 3_600_000

/** Name under which this process writes a file that is not whole yet; the library may add an ending of its own. */
export const unfinishedName = (file: string): string => `${file}.unfinished-${process.pid}`

const nameForm = /\.unfinished-(\d+)(-journal|-wal|-shm)?$/

/** Takes away what killed programs have left of files that they wrote beside a database. */
export function takeAwayUnfinished(file: string): void {
  for (const name of namesIn(dirname(file))) {
    const [, process] = nameForm.exec(name) ?? []
    if (process === undefined || !name.startsWith(`${basename(file)}.`)) continue
    const path = join(dirname(file), name)
    const changed = statSync(path, { throwIfNoEntry: false })?.mtimeMs
    if (changed === undefined) continue
    if (!isAlive(Number(process)) || Date.now() - changed > writtenWithin) rmSync(path, { force: true })
  }
}

/** The names in a folder; a folder that cannot be listed holds nothing that anybody could use. */
export function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder)
  } catch {
    return []
  }
}

/** Whether a process of that number runs on this machine. */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}
