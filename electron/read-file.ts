import { readFileSync } from 'node:fs'
import { type Answer, good, refuse } from '../shared/problem.ts'

/** Reads a file that a person has named. */
export function readFile(path: string): Answer<Uint8Array> {
  try {
    return good(readFileSync(path))
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    if (code === undefined) throw error
    const why =
      code === 'ENOENT'
        ? 'there is no such file'
        : code === 'EISDIR'
          ? 'that is a folder'
          : (error as Error).message
    return refuse('cannotRead', `${path} cannot be read: ${why}.`)
  }
}
