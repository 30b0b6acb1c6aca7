import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Sqlite from 'better-sqlite3'
import { startEngine } from '../../electron/engine/engine.ts'
import { asking } from './answers-study.ts'
import { type Figure, medianOf, seconds } from './figure.ts'

const sites = 49
const sizes = [10, 100, 1000, 10_000]

/** Readings of so many runs, 49 each; invented. */
function fileOf(runs: number): string {
  const lines = ['run,site,thickness (nm)']
  for (let run = 0; run < runs; run++)
    for (let site = 1; site <= sites; site++)
      lines.push(`R${run},${site},${(1500 + ((run * 7 + site * 3) % 97) / 10).toFixed(1)}`)
  return lines.join('\n')
}

/** The least that any list of runs with their films must ask of the database. */
const bareSums =
  'SELECT runId, count(*), sum(value), sum(value * value), min(value), max(value) FROM reading GROUP BY runId'

/** Bytes of a file that holds the same numbers and nothing else: run, site, value. */
function bareBytes(file: string, runs: number): number {
  const db = new Sqlite(file)
  db.exec('CREATE TABLE reading (run INTEGER NOT NULL, site INTEGER NOT NULL, value REAL NOT NULL) STRICT')
  const insert = db.prepare('INSERT INTO reading VALUES (?, ?, ?)')
  db.transaction(() => {
    for (let run = 0; run < runs; run++)
      for (let site = 1; site <= sites; site++) insert.run(run, site, 1500 + ((run * 7 + site * 3) % 97) / 10)
  })()
  db.close()
  return statSync(file).size
}

/**
 * A study of so many runs of 49 sites: the list that opens it, against the bare sums over the same readings in the same
 * file, and the size of the file, against the same numbers alone. The first list works all films out; the first after a
 * start finds them kept in the file, and the next ones in memory.
 */
export async function largeStudyFigures(): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const size of sizes) {
    const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-study-'))
    const databaseFile = join(folder, 'a.db')
    let engine = await startEngine({ databaseFile })
    try {
      const ask = asking(engine)
      const { studyId } = await ask('studies.create', { study: { name: 'Large', siteMap: '49' } })
      await ask('imports.commit', { studyId, fileName: 'a.csv', text: fileOf(size) })
      const restarted = async () => {
        await engine.close()
        engine = await startEngine({ databaseFile })
        const asked = asking(engine)
        await asked('studies.get', { studyId })
        return asked
      }
      const atFirst = await restarted()
      const first = await seconds(() => atFirst('bench.runs', { studyId }))
      const asked = await restarted()
      const started = await seconds(() => asked('bench.runs', { studyId }))
      const again = await medianOf(5, () => asked('bench.runs', { studyId }))
      const db = new Sqlite(databaseFile, { readonly: true })
      const baseline = {
        name: 'bare sums in SQL',
        value: await medianOf(5, () => db.prepare(bareSums).all()),
      }
      db.close()
      figures.push({ name: 'List of runs, first', size, value: first, unit: 's', baseline })
      figures.push({ name: 'List of runs, started', size, value: started, unit: 's', baseline, aim: 1.5 })
      figures.push({ name: 'List of runs, again', size, value: again, unit: 's', baseline, aim: 1.5 })
      await engine.close()
      const bare = bareBytes(join(folder, 'bare.db'), size) / (size * sites)
      figures.push({
        name: 'Bytes of a reading on disk',
        size,
        value: statSync(databaseFile).size / (size * sites),
        unit: 'B',
        baseline: { name: 'run, site and value alone', value: bare },
        aim: 4,
      })
    } finally {
      await engine.close()
      rmSync(folder, { recursive: true, force: true })
    }
  }
  return figures
}
