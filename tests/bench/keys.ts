import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Figure } from './figure.ts'

/** One frame of a screen of 60 Hz, s. */
const frame = 1 / 60

type Typed = Record<'keyToSummaryAndMap' | 'workOfAKey' | 'bareInputAndPaint', { median: number }>

/** A key at the bench of 500 runs to what it changes on the screen, against a bare input; of 9 sites and of 49. */
export async function keyFigures(): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const size of [9, 49]) {
    const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-keys-'))
    try {
      const file = join(folder, 'typed.json')
      const words = [join(import.meta.dirname, 'typing.ts'), file, String(size)]
      const { status, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' })
      if (status !== 0) throw new Error(stderr)
      const typed = JSON.parse(readFileSync(file, 'utf8')) as Typed
      const value = typed.keyToSummaryAndMap.median / 1000
      const baseline = { name: 'a bare input', value: typed.bareInputAndPaint.median / 1000 }
      figures.push({ name: 'Key to screen, sites', size, value, unit: 's', baseline })
      const work = typed.workOfAKey.median / 1000
      figures.push({
        name: 'Work of a key, sites',
        size,
        value: work,
        unit: 's',
        baseline: null,
        bound: frame,
      })
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  }
  return figures
}
