import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
// @ts-expect-error: build/ is plain JavaScript
import { environmentFor, findElectron } from '../../build/electron.js'
import { startEngine } from '../../electron/engine/engine.ts'
import { type Figure, median } from './figure.ts'

const root = join(import.meta.dirname, '../..')
const rounds = 7
/** Time after which a program is taken to be idle, ms. */
const untilIdle = 4000

/** The least that Electron can show: one line. */
const bareProgram = `const { app, BrowserWindow } = require('electron')
app.whenReady().then(() => {
  const window = new BrowserWindow({ width: 1280, height: 800 })
  window.loadURL('data:text/html,<button>One line</button>')
})
app.on('window-all-closed', () => app.quit())
`

/** Megabytes of a process and all below it, what they share counted once: proportional set size. */
function megabytesOf(pid: number): number {
  const parent = new Map<number, number>()
  for (const entry of readdirSync('/proc').filter((name) => /^\d+$/.test(name)))
    try {
      const stat = readFileSync(`/proc/${entry}/stat`, 'utf8')
      parent.set(Number(entry), Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]))
    } catch {
      // It has just ended.
    }
  const within = (each: number): boolean =>
    each === pid || (parent.has(each) && within(parent.get(each) as number))
  let kilobytes = 0
  for (const each of [...parent.keys()].filter(within))
    try {
      const rollup = readFileSync(`/proc/${each}/smaps_rollup`, 'utf8')
      kilobytes += Number(/^Pss:\s+(\d+)/m.exec(rollup)?.[1] ?? 0)
    } catch {
      // It has just ended.
    }
  return kilobytes / 1024
}

type Started = { shown: number; megabytes: number }

/** Starts a program, waits until its first button is painted, and then until it is idle. */
async function startOnce(program: string, more: string[], profile: string): Promise<Started> {
  const electron = findElectron() as { executable: string }
  const words = [
    '-r',
    join(import.meta.dirname, 'tell-shown.cjs'),
    '--no-sandbox',
    '--disable-gpu',
    '--log-level=3',
    `--user-data-dir=${profile}`,
    program,
    ...more,
  ]
  const before = performance.now()
  const child: ChildProcess = spawn(electron.executable, words, {
    env: environmentFor(electron),
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  })
  const gone = new Promise((done) => child.once('exit', done))
  await new Promise<void>((done, fail) => {
    child.on('message', (message) => message === 'shown' && done())
    child.once('exit', (code) => fail(new Error(`Electron ended with ${code}.`)))
  })
  const shown = (performance.now() - before) / 1000
  await new Promise((later) => setTimeout(later, untilIdle))
  const megabytes = megabytesOf(child.pid as number)
  child.kill('SIGTERM')
  await gone
  return { shown, megabytes }
}

/**
 * From the start of the process to the first painted button, and memory once idle: the program on a database with the
 * demo study against a bare window with one line, in turn. The first round of each, which fills the caches, is not
 * counted.
 */
export async function startFigures(): Promise<Figure[]> {
  if (process.platform !== 'linux' || !findElectron()) return []
  const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-start-'))
  const bare = mkdtempSync(join(tmpdir(), 'evenfilm-bench-bare-'))
  try {
    writeFileSync(join(bare, 'main.js'), bareProgram)
    writeFileSync(join(bare, 'package.json'), '{ "name": "bare", "main": "main.js" }')
    const databaseFile = join(folder, 'a.db')
    const engine = await startEngine({ databaseFile })
    await engine.call('studies.demo', {})
    await engine.close()
    const ours: Started[] = []
    const theirs: Started[] = []
    for (let round = 0; round <= rounds; round++) {
      theirs.push(await startOnce(bare, [], join(bare, 'profile')))
      ours.push(await startOnce(root, ['--data', databaseFile], join(folder, 'profile')))
    }
    const of = (all: Started[], what: keyof Started) => median(all.slice(1).map((one) => one[what]))
    return [
      {
        name: 'Start to the first screen',
        value: of(ours, 'shown'),
        unit: 's',
        baseline: { name: 'a bare window with one line', value: of(theirs, 'shown') },
        aim: 1.3,
      },
      {
        name: 'Memory once idle',
        value: of(ours, 'megabytes'),
        unit: 'MB',
        baseline: { name: 'a bare window with one line', value: of(theirs, 'megabytes') },
        aim: 1.3,
      },
    ]
  } finally {
    for (const each of [folder, bare]) rmSync(each, { recursive: true, force: true, maxRetries: 10 })
  }
}
