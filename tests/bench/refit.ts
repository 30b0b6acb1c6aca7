import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { startEngine } from '../../electron/engine/engine.ts'
import { asking } from './answers-study.ts'
import { type Figure, median, medianOf, seconds } from './figure.ts'
import { plainFit } from './plain-fit.ts'
import { typingStudy } from './typing-study.ts'

const model = 'log(thickness) ~ (log(speed) + time + bake)^2 + log(speed)^2 + time^2 + bake^2'
const columns = 10

/**
 * From a corrected reading, saved, to the new fit with all its diagnostics, against the bare read of the study's
 * readings from the same file and one least-squares fit of the same size in plain doubles.
 */
export async function refitFigures(): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const size of [27, 100, 250, 500]) {
    const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-refit-'))
    const databaseFile = join(folder, 'a.db')
    const { studyId } = await typingStudy(databaseFile, size, '9')
    const engine = await startEngine({ databaseFile })
    try {
      const ask = asking(engine)
      const [first] = await ask('bench.runs', { studyId })
      const runId = first?.id as string
      const fit = () => ask('fits.fit', { studyId, response: 'thickness', model })
      await fit()
      const times: number[] = []
      for (let i = 0; i < 15; i++) {
        await ask('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: `${1500 + i}` }] })
        times.push(await seconds(fit))
      }
      const db = new Sqlite(databaseFile, { readonly: true })
      const read = db.prepare('SELECT runId, site, value FROM inForce')
      const bare = await medianOf(15, () => {
        read.all()
        plainFit(size, columns)
      })
      db.close()
      const baseline = { name: 'bare read and fit in plain doubles', value: bare }
      figures.push({
        name: 'Refit after a reading, runs',
        size,
        value: median(times),
        unit: 's',
        baseline,
        bound: 0.05,
      })
    } finally {
      await engine.close()
      rmSync(folder, { recursive: true, force: true })
    }
  }
  return figures
}
