import {
  closeSync,
  fsyncSync,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname } from 'node:path'
import { type Answer, good, refuse } from '../shared/problem.ts'
import { unfinishedName } from './engine/store/unfinished.ts'

/**
 * Writes a text, or bytes, to a file that a person has named: the whole of it, or what stood there stays. What the disk
 * or the folder is to blame for is a problem.
 */
export function writeTo(file: string, content: string | Uint8Array): Answer<void> {
  try {
    const there = statSync(file, { throwIfNoEntry: false })
    // A pipe or a device is written to; nothing can take its place.
    if (there && !there.isFile()) writeFileSync(file, content)
    else exchange(there ? realpathSync(file) : file, content, there?.mode)
    return good(undefined)
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException
    if (code === undefined) throw error
    return refuse('cannotWrite', `‘${file}’ was not written: ${reason(code, file) ?? `${message}.`}`)
  }
}

function exchange(file: string, content: string | Uint8Array, mode = 0o666): void {
  const unfinished = unfinishedName(file)
  try {
    const handle = openSync(unfinished, 'w', mode)
    try {
      writeFileSync(handle, content)
      fsyncSync(handle)
    } finally {
      closeSync(handle)
    }
    renameSync(unfinished, file)
  } catch (error) {
    rmSync(unfinished, { force: true })
    throw error
  }
}

const reasons: Record<string, (file: string) => string> = {
  ENOSPC: () => 'the disk is full. What stood there before is as it was. Make room, or choose another disk.',
  EDQUOT: () => 'your share of the disk is used up. Make room, or choose another disk.',
  EACCES: () => 'you may not write there. Choose another folder.',
  EPERM: () => 'you may not write there, or another program has it open. Close that, or choose another name.',
  EBUSY: () => 'another program has it open. Close that, or choose another name.',
  EROFS: () => 'the disk can only be read. Choose another folder.',
  ENOENT: (file) => `there is no folder ‘${dirname(file)}’. Make it first, or choose another.`,
  ENOTDIR: (file) => `‘${dirname(file)}’ is no folder. Choose another.`,
  EISDIR: () => 'it is a folder. Choose another name.',
}

const reason = (code: string, file: string) => reasons[code]?.(file)
