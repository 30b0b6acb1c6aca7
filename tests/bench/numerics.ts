import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { distributionsReady } from '../../shared/model/distributions.ts'
import { type Job, jobs } from './jobs.ts'

/**
 * Times the program's numerical work, and the same work on the same data in R and scikit-learn where these are
 * installed: `node tests/bench/numerics.ts`. Times are the best of several runs, starting up and reading files not
 * counted.
 */

function bestOf(repeats: number, work: () => unknown): number {
  let best = Number.POSITIVE_INFINITY
  for (let i = 0; i < repeats; i++) {
    const start = performance.now()
    work()
    best = Math.min(best, (performance.now() - start) / 1000)
  }
  return best
}

/**
 * What another program prints, line by line: name, seconds, and what it found. The first of the commands that can run
 * the script is asked; empty where none can.
 */
function reference(commands: string[], script: string, folder: string): Map<string, [number, string]> {
  const [command, ...others] = commands
  if (command === undefined) return new Map()
  const { stdout, status, stderr } = spawnSync(command, [join(import.meta.dirname, script), folder], {
    encoding: 'utf8',
  })
  if (status !== 0) {
    const why = (stderr ?? '').trim().split('\n').at(-1) || 'not installed'
    console.log(`${command} is left out: ${why}`)
    return reference(others, script, folder)
  }
  const lines = stdout.trim().split('\n').filter(Boolean)
  return new Map(
    lines.map((line) => {
      const [name = '', seconds = '', found = ''] = line.split('\t')
      return [name, [Number(seconds), found]]
    }),
  )
}

function csvOf(columns: Record<string, ArrayLike<number | string>>): string {
  const names = Object.keys(columns)
  const rows = columns[names[0] as string]?.length ?? 0
  const lines = Array.from({ length: rows }, (_, i) => names.map((name) => columns[name]?.[i]).join(','))
  return `${[names.join(','), ...lines].join('\n')}\n`
}

function shown(seconds: number): string {
  return seconds < 0.1 ? `${(1000 * seconds).toPrecision(3)} ms` : `${seconds.toPrecision(3)} s`
}

/** The first python3 on the path is often one without scikit-learn, while the system's has it. */
const pythons = [...(process.env.PYTHON ? [process.env.PYTHON] : []), 'python3', '/usr/bin/python3']

await distributionsReady
const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-'))
try {
  for (const { file, data } of jobs) if (data) writeFileSync(join(folder, `${file}.csv`), csvOf(data))
  const others = new Map([
    ...reference(['Rscript'], 'reference.R', folder),
    ...reference(pythons, 'reference.py', folder),
  ])
  for (const job of jobs) report(job, others.get(job.file))
} finally {
  rmSync(folder, { recursive: true })
}

function report(job: Job, other: [number, string] | undefined): void {
  const found = job.work()
  const seconds = bestOf(job.repeats, job.work)
  console.log(`${job.name}: ${shown(seconds)} (${found})`)
  if (!other || !job.beside) return
  const [theirs, result] = other
  console.log(`  ${job.beside}: ${shown(theirs)} (${result}); ratio ${(seconds / theirs).toPrecision(3)}`)
}
