import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'

export const root = resolve(import.meta.dirname, '..')

const least = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).engines.node.replace('>=', '')

/** Whether this Node is new enough to run the sources as they stand and to load better-sqlite3. */
function newEnough() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  const [leastMajor, leastMinor] = least.split('.').map(Number)
  return major > leastMajor || (major === leastMajor && minor >= leastMinor)
}

/**
 * Goes on under a Node that is new enough. An older one hands over to the Node that `npm ci` put into
 * node_modules; where there is none it says so in one line and ends with 2.
 */
export function needNode() {
  if (newEnough()) return
  const own = join(root, 'node_modules/.bin', process.platform === 'win32' ? 'node.cmd' : 'node')
  if (existsSync(own) && !process.env.EVENFILM_HANDED_OVER) {
    const { status } = spawnSync(own, process.argv.slice(1), {
      stdio: 'inherit',
      shell: process.platform === 'win32',
      env: { ...process.env, EVENFILM_HANDED_OVER: '1' },
    })
    process.exit(status ?? 70)
  }
  console.error(
    `Evenfilm needs Node ${least} or newer; this is ${process.versions.node}. Run \`npm ci\` first.`,
  )
  process.exit(2)
}
