import { readdirSync, readFileSync } from 'node:fs'
import { expect } from 'vitest'

/** Processes of the engine can be found where the system lists them as files. */
export const enginesAreFound = process.platform === 'linux'

/** The number of the process that keeps this database, or null where there is none now. */
function engineOf(dataFile: string): number | null {
  for (const entry of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    try {
      const words = readFileSync(`/proc/${entry}/cmdline`, 'utf8').split('\0')
      if (words.includes(dataFile) && words.some((word) => /engine\.cjs$|engine\/main\.ts$/.test(word)))
        return Number(entry)
    } catch {
      // It has just ended.
    }
  }
  return null
}

/** Sends a signal to the engine that keeps this database; one that has just ended is waited for. */
export async function signalEngine(dataFile: string, signal: NodeJS.Signals): Promise<number> {
  let found: number | null = null
  await expect.poll(() => (found = engineOf(dataFile))).not.toBeNull()
  process.kill(found as unknown as number, signal)
  return found as unknown as number
}
