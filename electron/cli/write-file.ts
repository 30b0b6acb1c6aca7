import { writeFileSync } from 'node:fs'
import { type Answer, good, refuse } from '../../shared/problem.ts'

/** Writes a text, or bytes, to a file that a person has named; a folder that is missing or read-only is a problem. */
export function writeTo(file: string, content: string | Uint8Array): Answer<void> {
  try {
    writeFileSync(file, content)
    return good(undefined)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === undefined) throw error
    return refuse('cannotWrite', `${file} cannot be written: ${(error as Error).message}.`)
  }
}
