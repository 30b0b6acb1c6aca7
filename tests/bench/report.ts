import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startEngine } from '../../electron/engine/engine.ts'
import { asking } from './answers-study.ts'
import { type Figure, medianOf } from './figure.ts'
import { typingStudy } from './typing-study.ts'

/** The whole report as a document, at several sizes, against the table of its readings alone. */
export async function reportFigures(): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const size of [25, 50, 100, 200]) {
    const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-report-'))
    const databaseFile = join(folder, 'a.db')
    const { studyId } = await typingStudy(databaseFile, size, '9')
    const engine = await startEngine({ databaseFile })
    try {
      const ask = asking(engine)
      const value = await medianOf(3, () => ask('reports.document', { studyId }))
      const table = await medianOf(3, () => ask('reports.readingsCsv', { studyId }))
      figures.push({
        name: 'Report, runs',
        size,
        value,
        unit: 's',
        baseline: { name: 'the table of its readings', value: table },
        bound: 3,
      })
    } finally {
      await engine.close()
      rmSync(folder, { recursive: true, force: true })
    }
  }
  return figures
}
