import { spawn, spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { root } from './node-version.js'

const executables = { darwin: 'Electron.app/Contents/MacOS/Electron', win32: 'electron.exe' }

/** First Electron whose own Node can load better-sqlite3 (Node-API 10: Node 22.14). */
const firstWithOwnEngine = 36

/** Where Electron's files are: where the environment says, else where its install script puts them. */
const folder = () => process.env.ELECTRON_OVERRIDE_DIST_PATH || join(root, 'node_modules/electron/dist')

/** The Electron of this machine, or null: its executable, its folder, its version. */
export function findElectron() {
  const executable = join(folder(), executables[process.platform] ?? 'electron')
  if (!existsSync(executable)) return null
  let version = null
  try {
    version = readFileSync(join(folder(), 'version'), 'utf8').trim().replace(/^v/, '')
  } catch {
    // An Electron without its version file is taken for one of the version that the project names.
  }
  return { executable, folder: folder(), version }
}

/** Environment for that Electron: one that is too old runs its engine under this Node. */
export function environmentFor({ version }) {
  const old = version !== null && Number.parseInt(version, 10) < firstWithOwnEngine
  return old
    ? { ...process.env, EVENFILM_ENGINE_NODE: process.env.EVENFILM_ENGINE_NODE ?? process.execPath }
    : { ...process.env }
}

/**
 * Lets Electron's own install script fetch its binary, at most for the given time, since a filtered network can
 * make it hang. Null where it did, else what went wrong in a few words.
 */
export function installElectron(seconds) {
  const script = join(root, 'node_modules/electron/install.js')
  if (!existsSync(script)) return Promise.resolve('the electron package is not installed')
  return new Promise((done) => {
    const child = spawn(process.execPath, [script], { stdio: ['ignore', 'ignore', 'pipe'] })
    let said = ''
    child.stderr.on('data', (data) => (said += data))
    const clock = setTimeout(() => {
      child.kill('SIGKILL')
      done(`its download did not end within ${seconds} s`)
    }, seconds * 1000)
    child.on('error', (error) => done(error.message))
    child.on('exit', (code) => {
      clearTimeout(clock)
      const firstLine =
        said.split('\n').find((line) => line.trim()) ?? `its install script ended with ${code}`
      done(code === 0 && findElectron() ? null : firstLine.trim())
    })
  })
}

/** A library of the system that this Electron wants and does not find, or null. */
export function missingLibrary({ executable }) {
  const { stderr } = spawnSync(executable, ['-e', '0'], {
    env: { ...process.env, ELECTRON_RUN_AS_NODE: '1' },
    encoding: 'utf8',
  })
  return /loading shared libraries: ([^:\s]+)/.exec(stderr ?? '')?.[1] ?? null
}
