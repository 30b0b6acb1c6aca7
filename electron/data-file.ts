import { homedir } from 'node:os'
import { join } from 'node:path'

/** Name of the database file in the program's own folder. */
export const dataFileName = 'evenfilm.db'

/** The database that every door opens unless told another: in the folder that the desktop window uses too. */
export function defaultDataFile(): string {
  return join(ownFolder(), dataFileName)
}

/** Where a program keeps its data on this system, by the rules of each. */
function ownFolder(): string {
  if (process.platform === 'win32') {
    return join(process.env.APPDATA ?? join(homedir(), 'AppData', 'Roaming'), 'evenfilm')
  }
  if (process.platform === 'darwin') return join(homedir(), 'Library', 'Application Support', 'evenfilm')
  return join(process.env.XDG_CONFIG_HOME ?? join(homedir(), '.config'), 'evenfilm')
}
