import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startEngine } from '../../electron/engine/engine.ts'
import type { Result } from '../../shared/contract.ts'
import { asking } from './answers-study.ts'
import { typingStudy } from './typing-study.ts'

/**
 * Milliseconds of what is done with one large study, 500 runs of 49 sites, through the engine with its threads:
 * `node tests/bench/study-at-scale.ts [FILE] [TIMES]` prints JSON, and writes it to the file. `first` is the first answer,
 * `later` the quickest of the others; `cpu` is what all threads worked for them. The numbers are invented.
 */

const [out, count = '3'] = process.argv.slice(2)
const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-large-'))
const file = join(folder, 'large.evenfilm')
const { studyId, runId } = await typingStudy(file, 500)
const engine = await startEngine({ databaseFile: file })
const ask = asking(engine)
const taken: Record<string, { first: number; later: number; cpu: number }> = {}

async function take(name: string, work: (i: number) => Promise<unknown>) {
  const [wall, cpu]: [number[], number[]] = [[], []]
  for (let i = 0; i < Math.max(2, Number(count)); i++) {
    const [start, before] = [performance.now(), process.cpuUsage()]
    await work(i)
    const { user, system } = process.cpuUsage(before)
    wall.push(performance.now() - start)
    cpu.push((user + system) / 1000)
  }
  const [first = 0, ...rest] = wall.map(Math.round)
  taken[name] = { first, later: Math.min(...rest), cpu: Math.round(Math.min(...cpu.slice(1))) }
  console.error(name)
}

try {
  const study = await ask('studies.get', { studyId })
  const runs = await ask('bench.runs', { studyId })
  const fit = { studyId, response: 'thickness', model: study.model as string }
  const enter = (i: number) =>
    ask('bench.enterReadings', { runId, unit: 'nm', readings: [{ site: 1, text: `${1500 + i}` }] })
  await take('table of runs', () => ask('bench.runs', { studyId }))
  await take('sites of all runs', () => ask('bench.readings', { studyId }))
  const runIds = runs.slice(0, 50).map(({ id }) => id)
  await take('maps of 50 runs', () => ask('bench.maps', { studyId, runIds }))
  await take('run card', () => ask('bench.card', { runId }))
  await take('reading entered', enter)
  await take('reading entered, and the table of runs', async (i) => {
    await enter(100 + i)
    await ask('bench.runs', { studyId })
  })
  await take('models offered', () => ask('fits.models', { studyId, response: 'thickness' }))
  await take('fit', (i) => ask('fits.fit', { ...fit, level: 0.9 + i / 100 }))
  await take('fit over days', (i) => ask('fits.fit', { ...fit, level: 0.9 + i / 100, overDays: true }))
  await take('doubts', () => ask('fits.doubts', fit))
  await take('runs as CSV', () => ask('reports.runsCsv', { studyId }))
  await take('readings as CSV', () => ask('reports.readingsCsv', { studyId }))
  await take('history as CSV', () => ask('reports.historyCsv', { studyId }))
  await take('page of history', () => ask('history.read', { studyId, limit: 30 }))
  await take('report', () => ask('reports.document', { studyId }))
  let made: Result<'studies.file'> | null = null
  await take('file of the study', async () => {
    made = await ask('studies.file', { studyId })
  })
  const { fileName, bytes } = made as unknown as Result<'studies.file'>
  await take('look at the file', () => ask('studies.lookAtFile', { fileName, bytes }))
  await take('file brought in as a copy', () => ask('studies.bringIn', { fileName, bytes, way: 'copy' }))
  const design = study.stages[0]?.design
  if (design)
    await take('plan of 500 runs', (i) =>
      ask('plans.preview', { studyId, factors: study.factors, design: { ...design, seed: i + 1 } }),
    )
  const json = `${JSON.stringify({ runs: 500, sites: 49, ms: taken }, null, 1)}\n`
  process.stdout.write(json)
  if (out) writeFileSync(out, json)
} finally {
  await engine.close()
  rmSync(folder, { recursive: true, force: true })
}
