import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, relative, sep } from 'node:path'
import { findChromium, hasDisplay, onPath } from './browser.js'
import { environmentFor, findElectron, installElectron, missingLibrary } from './electron.js'
import { needNode, root } from './node-version.js'

needNode()
const { bundle, stale } = await import('./bundle.js')

/**
 * Runs the suites, tells of each, and ends with `N passed, N failed` over all of them. `--long` adds the long
 * counts, `--packages` of these only the packages; other words go on to Vitest (a part of a file name, say).
 */
const long = process.argv.includes('--long')
// Suites of every kind hear of it.
if (long) process.env.EVENFILM_TEST_LONG = 'yes'
const packages = process.argv.includes('--packages')
const words = process.argv.slice(2).filter((word) => word !== '--long' && word !== '--packages')
const reports = mkdtempSync(join(tmpdir(), 'evenfilm-test-'))
const skipped = []
const total = { passed: 0, failed: 0 }
const started = performance.now()

await bundle(stale())
// Processes of the engine start from it in a third of the time.
process.env.EVENFILM_TEST_ENGINE = join(root, 'dist/engine.cjs')
await suites('vitest.config.ts')
const doors = await doorsHere()
await suites('vitest.e2e.config.ts', doors)
if (long) await suites('vitest.long.config.ts', doors)
else if (packages) await suites('vitest.long.config.ts', { ...doors, only: ['long/packaged'] })

rmSync(reports, { recursive: true, force: true })
console.log(`\nall suites in ${((performance.now() - started) / 1000).toFixed(0)} s`)
for (const what of skipped) console.log(`skipped: ${what}`)
console.log(`${total.passed} passed, ${total.failed} failed`)
process.exitCode = total.failed > 0 ? 1 : 0

/** How tests that drive the page are run here: behind each door for which this machine has what it takes. */
async function doorsHere() {
  const chromium = findChromium()
  if (!chromium) {
    skipped.push(
      'the page in a browser: no Chromium found; install it (`apt-get install chromium`) or name one in EVENFILM_BROWSER',
    )
  }
  const xvfb = !hasDisplay() && onPath('xvfb-run')
  const { electron, because } = await electronFor(hasDisplay() || xvfb)
  if (!electron) skipped.push(`the desktop window: ${because}`)
  return {
    before: electron && xvfb ? ['xvfb-run', '-a', '-s', '-screen 0 1600x1000x24'] : [],
    environment: {
      ...(electron ? environmentFor(electron) : process.env),
      EVENFILM_TEST_LONG: long ? 'yes' : '',
      EVENFILM_TEST_BROWSER: chromium ?? '',
      EVENFILM_TEST_ELECTRON: electron?.executable ?? '',
    },
  }
}

/** An Electron that starts here, fetched if need be; or why there is none and how to get it. */
async function electronFor(display) {
  if (!display) return { because: 'there is no display; install a virtual one (`apt-get install xvfb`)' }
  if (!findElectron()) {
    console.log('Fetching Electron (120 s at most) …')
    const failed = await installElectron(120)
    if (failed) return { because: `Electron could not be fetched (${failed}); try \`npx install-electron\`` }
  }
  const electron = findElectron()
  const missing = missingLibrary(electron)
  if (missing) return { because: `Electron lacks the system's library ${missing}; install it` }
  return { electron }
}

/** Runs the suites of one configuration and adds up what came of them. */
async function suites(config, { before = [], environment = process.env, only = words } = {}) {
  const report = join(reports, `${config}.json`)
  const vitest = [
    join(root, 'node_modules/vitest/vitest.mjs'),
    'run',
    '--config',
    config,
    '--passWithNoTests',
  ]
  const command = [
    ...before,
    process.execPath,
    ...vitest,
    '--reporter=dot',
    '--reporter=json',
    `--outputFile.json=${report}`,
    ...only,
  ]
  const code = await new Promise((done) => {
    // Colours are for a terminal; in a log they bury what is said.
    const env = process.stdout.isTTY ? environment : { ...environment, NO_COLOR: '1' }
    const child = spawn(command[0], command.slice(1), { cwd: root, env, stdio: 'inherit' })
    child.on('error', (error) => {
      console.error(error.message)
      done(1)
    })
    child.on('exit', (exitCode) => done(exitCode ?? 1))
  })
  const bySuite = existsSync(report) ? countBySuite(JSON.parse(readFileSync(report, 'utf8'))) : {}
  for (const [suite, { passed, failed, seconds }] of Object.entries(bySuite)) {
    console.log(`${suite}: ${passed} passed, ${failed} failed, ${seconds.toFixed(1)} s`)
    total.passed += passed
    total.failed += failed
  }
  // Vitest fails for more than a failed test: an error beside the tests, a file that does not load.
  if (code !== 0 && Object.values(bySuite).every(({ failed }) => failed === 0)) {
    console.log(`${config}: ended with ${code}`)
    total.failed += 1
  }
}

/** Tests passed and failed by suite, that is by the folder below tests/; a file that fails to load is one failure. */
function countBySuite({ testResults }) {
  const bySuite = {}
  for (const file of testResults) {
    const suite = relative(join(root, 'tests'), file.name).split(sep)[0]
    bySuite[suite] ??= { passed: 0, failed: 0, seconds: 0 }
    const counts = bySuite[suite]
    counts.seconds += Math.max(0, (file.endTime - file.startTime) / 1000)
    const failed = file.assertionResults.filter(({ status }) => status === 'failed').length
    counts.passed += file.assertionResults.filter(({ status }) => status === 'passed').length
    counts.failed += file.status === 'failed' ? Math.max(1, failed) : failed
  }
  return bySuite
}
