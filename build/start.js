import { spawn } from 'node:child_process'
import { resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { hasDisplay, onPath } from './browser.js'
import { environmentFor, findElectron, installElectron } from './electron.js'
import { needNode, root } from './node-version.js'

needNode()
const { bundle, stale } = await import('./bundle.js')

/** Time that Electron's download may take, and that a window may take to be ready, s. */
const downloadTime = 120
const windowTime = 20

/** Why no window can be opened here, whatever Electron there is; null where one can. */
function noWindowBecause() {
  if (process.platform !== 'linux') return null
  if (!hasDisplay()) return 'there is no display'
  if (process.getuid?.() === 0) return 'Electron does not run as root'
  return null
}

/**
 * Opens the desktop window. Null once it has been opened and closed again, else why there is none.
 */
function openWindow(electron, more) {
  return new Promise((done) => {
    const child = spawn(electron.executable, [root, ...more], {
      env: environmentFor(electron),
      stdio: ['inherit', 'inherit', 'inherit', 'ipc'],
    })
    let ready = false
    const clock = setTimeout(() => {
      child.kill('SIGKILL')
      done(`the window was not ready within ${windowTime} s`)
    }, windowTime * 1000)
    child.on('message', (message) => {
      if (message !== 'ready') return
      ready = true
      clearTimeout(clock)
    })
    child.on('error', (error) => done(`Electron did not start (${error.message})`))
    child.on('exit', (code, signal) => {
      clearTimeout(clock)
      if (ready) process.exit(code ?? 1)
      // Ends so before its window where another instance has been brought to the front instead.
      done(code === 0 ? null : `Electron ended with ${code ?? signal} before its window was ready`)
    })
    for (const name of ['SIGINT', 'SIGTERM']) process.on(name, () => child.kill(name))
  })
}

/** The desktop window, fetching Electron first where there is none; null, or why it did not come. */
async function desktop(more) {
  const because = noWindowBecause()
  if (because) return because
  if (!findElectron()) {
    console.error(`Fetching Electron (${downloadTime} s at most) …`)
    const failed = await installElectron(downloadTime)
    if (failed) return `Electron could not be fetched: ${failed}`
  }
  await bundle(stale())
  return openWindow(findElectron(), more)
}

/** Opens an address in the browser of this machine where there is one and somebody to see it. */
function openBrowser(address) {
  if (!hasDisplay()) return
  const [command, ...args] =
    process.platform === 'darwin'
      ? ['open', address]
      : process.platform === 'win32'
        ? ['rundll32', 'url.dll,FileProtocolHandler', address]
        : ['xdg-open', address]
  const found = process.platform !== 'linux' || onPath(command)
  if (!found) return
  const child = spawn(command, args, { stdio: 'ignore', detached: true })
  child.on('error', () => {}) // The printed address is there all the same.
  child.unref()
}

/** The words after the command: which database, and which port for a browser. */
function readWords() {
  try {
    const { values } = parseArgs({ options: { data: { type: 'string' }, port: { type: 'string' } } })
    const port = Number(values.port ?? 0)
    if (!Number.isInteger(port) || port < 0 || port > 65535) throw new Error(`‘${values.port}’ is no port.`)
    return { data: values.data, port }
  } catch (error) {
    console.error(error.message)
    process.exit(2)
  }
}

const { data, port } = readWords()
const because = await desktop(data === undefined ? [] : ['--data', resolve(data)])
if (because === null) process.exit(0)

console.error(`No desktop window: ${because}. The same page opens in a browser instead.`)
await bundle(stale(['page', 'engine', 'worker']))
const { serveInBrowser } = await import('../electron/browser.ts')
const door = await serveInBrowser({ data, port })
if (!door.ok) {
  for (const { message } of door.problems) console.error(message)
  process.exit(2)
}
console.log(door.value.address)
console.error('Only a browser of this machine reaches it, and the address works once. Ctrl+C ends it.')
openBrowser(door.value.address)
for (const signal of ['SIGINT', 'SIGTERM']) {
  process.once(signal, () => door.value.close().then(() => process.exit(0)))
}
