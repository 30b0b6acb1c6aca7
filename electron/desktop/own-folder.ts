import { statSync } from 'node:fs'
import { join, posix, win32 } from 'node:path'

/** Name of the folder beside the program in which it keeps everything, where a person has made one. */
const name = 'evenfilm-data'

type Start = Pick<NodeJS.Process, 'platform' | 'execPath' | 'env'>

/**
 * The folder in which a person sees the program: its one file on Windows or as an AppImage, which run from a place of
 * their own, its bundle on macOS, or else its executable.
 */
export function folderOfProgram({ platform, execPath, env }: Start): string {
  if (platform === 'win32') return env.PORTABLE_EXECUTABLE_DIR || win32.dirname(execPath)
  // Evenfilm.app/Contents/MacOS/Evenfilm
  if (platform === 'darwin') return posix.resolve(execPath, '../../../..')
  return posix.dirname(env.APPIMAGE || execPath)
}

/** The folder beside the program that holds its data and its profile, or null where there is none. */
export function ownFolder(start: Start): string | null {
  const folder = join(folderOfProgram(start), name)
  return statSync(folder, { throwIfNoEntry: false })?.isDirectory() ? folder : null
}
