import { accessSync, constants, statfsSync } from 'node:fs'
import { dirname } from 'node:path'
import { type Problem, refuse } from '../../../shared/problem.ts'
import { damaged } from './damage.ts'

/** What the database library throws; anything else is a defect of the program. */
type DatabaseError = Error & { code: string }

function isDatabaseError(error: unknown): error is DatabaseError {
  return error instanceof Error && 'code' in error && typeof error.code === 'string'
}

type Fault = (file: string) => Problem

const notADatabase: Fault = (file) => ({
  code: 'notADatabase',
  message:
    `‘${file}’ is no database of Evenfilm, or its beginning is damaged. It was left as it is. ` +
    'Choose another file: start the program with --data and its name.',
})

export const locked: Fault = (file) => ({
  code: 'databaseLocked',
  message: `Another program holds ‘${file}’. Nothing was changed. Close that program, or try again.`,
})

const readOnly: Fault = (file) => ({
  code: 'databaseReadOnly',
  message: `‘${file}’ or its folder cannot be written. Nothing was changed. Copy it to a folder of your own.`,
})

const full: Fault = (file) => ({
  code: 'diskFull',
  message: `The disk that holds ‘${file}’ is full. Nothing was changed. Make room and try again.`,
})

const cannotOpen: Fault = (file) => ({
  code: 'cannotOpen',
  message: `‘${file}’ cannot be opened or written there. Look whether its folder exists and can be written.`,
})

/** By the code of the library's error, or of the system's. */
const faults: [code: RegExp, fault: Fault][] = [
  [/^SQLITE_NOTADB/, notADatabase],
  [/^SQLITE_(BUSY|LOCKED)/, locked],
  [/^(SQLITE_(READONLY|PERM|AUTH)|(EACCES|EPERM|EROFS)$)/, readOnly],
  [/^(SQLITE_FULL|ENOSPC$)/, full],
  [/^SQLITE_CORRUPT/, (file) => damaged(file)],
  [/^(SQLITE_(CANTOPEN|IOERR)|(ENOENT|ENOTDIR|EISDIR)$)/, cannotOpen],
]

/** The problem that a fault of the file, the disk or its folder is; null where the error is a defect. */
export function problemOf(error: unknown, file: string): Problem | null {
  if (!isDatabaseError(error)) return null
  // On a full disk the library cannot make room for its index of the log, and does not say why.
  if (/^SQLITE_(CANTOPEN|IOERR)/.test(error.code)) {
    if (isFull(dirname(file))) return full(file)
    if (isReadOnly(dirname(file))) return readOnly(file)
  }
  // A damaged header may ask for a format that the library has not.
  if (error.code === 'SQLITE_ERROR' && error.message === 'unsupported file format') return damaged(file)
  return faults.find(([code]) => code.test(error.code))?.[1](file) ?? null
}

/** Whether less is free in a folder than the library needs to open a database, 64 KiB. */
function isFull(folder: string): boolean {
  try {
    const { bavail, bsize } = statfsSync(folder)
    return bavail * bsize < 65_536
  } catch {
    return false
  }
}

function isReadOnly(folder: string): boolean {
  try {
    accessSync(folder, constants.W_OK)
    return false
  } catch (error) {
    return /^(EACCES|EPERM|EROFS)$/.test((error as NodeJS.ErrnoException).code ?? '')
  }
}

/** Runs work on the file; what the file, the disk or its folder is to blame for becomes a problem. */
export function withFaults<T>(file: string, work: () => T): T | ReturnType<typeof refuse> {
  try {
    return work()
  } catch (error) {
    const problem = problemOf(error, file)
    if (!problem) throw error
    return refuse(problem.code, problem.message)
  }
}
