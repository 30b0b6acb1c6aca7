import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Papa from 'papaparse'
import { type Engine, startEngine } from '../../electron/engine/engine.ts'
import { newId } from '../../electron/engine/store/ids.ts'
import { addImportedReadings } from '../../electron/engine/store/imports.ts'
import { openStore } from '../../electron/engine/store/open.ts'
import { asking } from './answers-study.ts'
import type { Figure } from './figure.ts'

/** What came of bringing in one long file, s: all of it, its bare parts, and the longest wait of a reading saved meanwhile. */
type ImportTimes = {
  readings: number
  whole: number
  parse: number
  insert: number
  longestWait: number
}

const sitesOfRun = 500

function longFile(readings: number): string {
  const lines = ['wafer,site,x (mm),y (mm),thickness (nm),gof']
  for (let i = 0; i < readings; i++) {
    const site = i % sitesOfRun
    const [x, y] = [((site % 25) - 12) * 2, (Math.floor(site / 25) - 9.5) * 2]
    lines.push(
      `N${Math.floor(i / sitesOfRun)},${site + 1},${x},${y},${(1500 + (i % 89) / 10).toFixed(1)},0.99`,
    )
  }
  return lines.join('\n')
}

/**
 * Brings a file of so many readings in through the engine while readings are saved in another study, and then does
 * what cannot be saved of that work: PapaParse alone, and the bare inserts of the same rows in one transaction.
 */
async function timeImport(readings: number): Promise<ImportTimes> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-import-'))
  const text = longFile(readings)
  const engine = await startEngine({ databaseFile: join(folder, 'a.db') })
  try {
    const { whole, longestWait } = await throughEngine(engine, text)
    return { readings, whole, longestWait, ...bareParts(text, join(folder, 'b.db')) }
  } finally {
    await engine.close()
    rmSync(folder, { recursive: true })
  }
}

async function throughEngine(engine: Engine, text: string): Promise<{ whole: number; longestWait: number }> {
  const ok = asking(engine)
  const { studyId } = await ok('studies.create', { study: { name: 'Long' } })
  const other = await ok('studies.create', { study: { name: 'Bench' } })
  const { runId } = await ok('plans.addRun', { studyId: other.studyId, settings: {}, lot: null })
  const start = performance.now()
  let over = false
  const importing = ok('imports.commit', { studyId, fileName: 'long.csv', text }).finally(() => {
    over = true
  })
  let longestWait = 0
  for (let i = 0; !over; i++) {
    await new Promise((later) => setTimeout(later, 20))
    const asked = performance.now()
    await ok('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: `${1500 + i}` }] })
    longestWait = Math.max(longestWait, (performance.now() - asked) / 1000)
  }
  await importing
  return { whole: (performance.now() - start) / 1000, longestWait }
}

function bareParts(text: string, file: string): { parse: number; insert: number } {
  const started = performance.now()
  const { data } = Papa.parse<string[]>(text)
  const parse = (performance.now() - started) / 1000
  const opened = openStore(file)
  if (!opened.ok) throw new Error(opened.problems[0]?.message)
  const { db } = opened.value
  // Only the rows count here: what they would refer to is not there.
  db.pragma('foreign_keys = OFF')

  const importId = newId()
  const runs = new Map<string, string>()
  const rows = data
    .slice(1)
    .map(([run = '', site, x, y, value = '']): Parameters<typeof addImportedReadings>[1][number] => {
      const runId = runs.get(run) ?? newId()
      runs.set(run, runId)
      const place = [Number(site), Number(x), Number(y)] as const
      return [
        newId(),
        runId,
        importId,
        'thickness',
        ...place,
        Number(value),
        value,
        'nm',
        '2026-03-02',
        null,
        1,
        null,
        null,
      ]
    })
  const before = performance.now()
  db.transaction(() => addImportedReadings(db, rows))()
  const insert = (performance.now() - before) / 1000
  db.close()
  return { parse, insert }
}

/** A file of readings that comes in, at four sizes, against what of it cannot be saved. */
export async function importFigures(): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const size of [125_000, 250_000, 500_000, 1_000_000]) {
    const { whole, parse, insert, longestWait } = await timeImport(size)
    const baseline = { name: 'PapaParse alone and bare inserts', value: parse + insert }
    figures.push({ name: 'Import of readings', size, value: whole, unit: 's', baseline, aim: 1.3 })
    figures.push({
      name: 'Longest wait of a reading saved meanwhile',
      size,
      value: longestWait,
      unit: 's',
      baseline: null,
    })
  }
  return figures
}
