import { createHash } from 'node:crypto'
import { mkdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { app } from 'electron'

/**
 * Sees to it that the program runs once for a profile, which lies beside the program where `own` names a folder there.
 *
 * @param said what a second start hands to the first
 * @returns whether this is the first
 */
export function lockProfile(own: string | null, said: Record<string, unknown>): boolean {
  if (own === null || app.commandLine.hasSwitch('user-data-dir')) return app.requestSingleInstanceLock(said)
  const profile = join(own, 'window')
  const lock = process.platform === 'linux' ? lockOnComputer(own) : profile
  for (const folder of [profile, lock]) mkdirSync(folder, { recursive: true, mode: 0o700 })
  app.setPath('userData', lock)
  const first = app.requestSingleInstanceLock(said)
  app.setPath('userData', profile)
  if (first && lock !== profile) app.on('quit', () => rmSync(lock, { recursive: true, force: true }))
  return first
}

/** On Linux the lock is a symbolic link, which the usual file systems of sticks do not know: it stays on the computer. */
function lockOnComputer(own: string): string {
  const mark = createHash('sha256').update(own).digest('hex').slice(0, 16)
  return join(process.env.XDG_RUNTIME_DIR || app.getPath('temp'), `evenfilm-${mark}`)
}
