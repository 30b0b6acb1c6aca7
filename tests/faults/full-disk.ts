import { execFileSync } from 'node:child_process'
import { rmSync, statfsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { testFolder } from '../engine/engine-in-folder.ts'

/** A small disk of its own for one test. */
export type SmallDisk = {
  folder: string
  /** Fills it up but for so many bytes. */
  fill(left: number): void
  /** Makes room again. */
  clear(): void
}

/** Mounts a disk of so many bytes; null where this machine or user may not. */
export function smallDisk(bytes: number): SmallDisk | null {
  const folder = testFolder()
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${bytes}`, 'tmpfs', folder], { stdio: 'ignore' })
  } catch {
    return null
  }
  onTestFinished(() => {
    execFileSync('umount', ['-l', folder])
  })
  const filler = join(folder, 'filler')
  return {
    folder,
    fill(left) {
      rmSync(filler, { force: true })
      const { bavail, bsize } = statfsSync(folder)
      writeFileSync(filler, Buffer.alloc(Math.max(0, bavail * bsize - left)))
    },
    clear: () => rmSync(filler, { force: true }),
  }
}
