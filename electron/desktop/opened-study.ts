import { statSync } from 'node:fs'
import { basename } from 'node:path'
import type { StudyFile } from '../../shared/bridge.ts'
import { fileLimits } from '../../shared/limits.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { readFile } from '../read-file.ts'

/** What the calls about a study's file take, bytes: base 64 has four characters for three of them. */
const mostBytes = (fileLimits.study.characters / 4) * 3

export type OpenedStudy = {
  /** Notes the file that a person has opened from the system, in place of one that no page has taken yet. */
  put(path: string): void
  /** Hands it over once, as it was found; what it holds is for the engine to judge. */
  take(): Answer<StudyFile | null>
}

/** Keeps a study's file that the system asked the program to open until a page is there to take it. */
export function keepOpenedStudy(): OpenedStudy {
  let waiting: string | null = null
  return {
    put(path) {
      waiting = path
    },
    take() {
      const path = waiting
      waiting = null
      return path === null ? good(null) : read(path)
    },
  }
}

function read(path: string): Answer<StudyFile> {
  const there = statSync(path, { throwIfNoEntry: false })
  // Whoever waits for a pipe or a device to end may wait for ever.
  if (there && !there.isFile()) return refuse('cannotRead', `‘${path}’ is no file.`)
  if (there && there.size > mostBytes)
    return refuse('fileTooLarge', `‘${path}’ is too large for the file of a study.`)
  const content = readFile(path)
  if (!content.ok) return content
  return good({ fileName: basename(path), bytes: Buffer.from(content.value).toString('base64') })
}
