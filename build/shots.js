import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { chromium } from 'playwright-core'
import { serveInBrowser } from '../electron/browser.ts'
import { findChromium } from './browser.js'
import { bundle, stale } from './bundle.js'
import { root } from './node-version.js'
import { bluePoints, underAmber, withEachSight } from './shots/sight.js'
import { smallerPng } from './shots/smaller-png.js'
import { makers } from './shots/studies.js'
import { screens, show, themes, walkDialogs, walkStudy } from './shots/walk.js'

/**
 * Makes screenshots for people to look at, into tests/shots/ where no folder is named:
 *
 *   node build/shots.js [FOLDER] [SCREEN | SERIES …]     all of it without a name
 *   node build/shots.js --readme                         the pictures of the README
 *
 * Series: `empty`, `demo` and `long` (500 runs of 49 sites) show every tab of every screen in every theme, `dialogs`
 * what opens over them, `zoom` the page at 200 %, and `sight` maps, charts and run cards with other colour vision and
 * under amber light.
 */
const usual = { viewport: { width: 1280, height: 720 } }
const words = process.argv.slice(2)
const forReadme = words.includes('--readme')
const [folder = join(root, 'tests/shots'), ...only] = words.filter((word) => !word.startsWith('--'))
const wantedScreens = screens.filter((screen) => only.includes(screen))
const shownScreens = wantedScreens.length > 0 ? wantedScreens : screens
const wantedSeries = only.filter((word) => !screens.includes(word))

const browserFile = findChromium()
if (!browserFile) {
  console.error('No Chromium was found. Name one in EVENFILM_BROWSER.')
  process.exit(2)
}
await bundle(stale(['page', 'engine', 'worker']))
mkdirSync(resolve(folder), { recursive: true })
const scratch = mkdtempSync(join(tmpdir(), 'evenfilm-shots-'))
const browser = await chromium.launch({
  executablePath: browserFile,
  args: ['--no-sandbox', '--disable-quic', '--disable-background-networking'],
})

/** Serves a database and hands over a way to open its page in a theme. */
async function onDatabase(state, work) {
  const file = join(scratch, `${state}-${Date.now()}.evenfilm`)
  const studyId = (await makers[state]?.(file)) ?? null
  const served = await serveInBrowser({ data: file })
  if (!served.ok) throw new Error(served.problems[0].message)
  const address = new URL('/', served.value.address).href
  const first = await browser.newContext()
  const entry = await first.newPage()
  await entry.goto(served.value.address)
  await entry.waitForURL(address)
  const storageState = await first.storageState()
  await first.close()
  await work(studyId, async (theme, options = usual) => {
    const context = await browser.newContext({ ...options, storageState })
    await context.addInitScript((chosen) => {
      // The report stands in a frame that has no storage.
      if (window === window.top) localStorage.setItem('evenfilm.settings', JSON.stringify({ theme: chosen }))
    }, theme)
    const page = await context.newPage()
    // What it complains about is printed, since a clean page says nothing.
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) console.error(`page: ${message.text()}`)
    })
    page.on('pageerror', (error) => console.error(`page: ${error}`))
    await page.goto(address)
    return page
  })
  await served.value.close()
}

async function shoot(page, name) {
  const picture = await page.screenshot({ path: join(folder, `${name}.png`) })
  console.log(`${name}.png`)
  if (!name.startsWith('bay')) return picture
  const blue = await bluePoints(page, picture)
  if (blue > 0) {
    console.error(`${name}.png: ${blue} points hold blue`)
    process.exitCode = 1
  }
  return picture
}

/** Every tab of every screen in every theme, of a database in the given state. */
const everyTheme = (state) =>
  onDatabase(state, async (studyId, open) => {
    for (const theme of themes) {
      const page = await open(theme)
      await walkStudy(page, studyId, (view) => shoot(page, `${theme}-${state}-${view}`), shownScreens)
      await page.context().close()
    }
  })

const series = {
  async empty() {
    await onDatabase('nothing', async (_, open) => {
      for (const theme of themes) {
        const page = await open(theme)
        await show(page, 'studies')
        await shoot(page, `${theme}-nothing-studies`)
        await page.context().close()
      }
    })
    await everyTheme('empty')
  },
  demo: () => everyTheme('demo'),
  long: () => everyTheme('long'),
  dialogs: () =>
    onDatabase('demo', async (studyId, open) => {
      const page = await open('light')
      const visit = (view) => walkDialogs(page, (name) => shoot(page, `light-dialog-${name}`), view)
      await walkStudy(page, studyId, visit, shownScreens)
    }),
  zoom: () =>
    onDatabase('demo', async (studyId, open) => {
      const page = await open('light', { viewport: { width: 640, height: 360 }, deviceScaleFactor: 2 })
      await walkStudy(page, studyId, (view) => shoot(page, `zoom-${view}`), shownScreens)
    }),
  sight: () =>
    onDatabase('demo', async (studyId, open) => {
      const page = await open('light')
      const visit = async (view) => {
        await withEachSight(page, (sight) => shoot(page, `sight-${view}-${sight}`))
        writeFileSync(
          join(folder, `sight-${view}-amber.png`),
          await underAmber(page, await page.screenshot()),
        )
      }
      const drawn = ['bench', 'curves', 'lots'].filter((screen) => shownScreens.includes(screen))
      await walkStudy(page, studyId, visit, drawn)
    }),
}

/** Plan, bench, curves and next of the demo study in light, as the README shows them. */
const pictures = () =>
  onDatabase('demo', async (studyId, open) => {
    const into = join(root, 'docs-pictures')
    mkdirSync(into, { recursive: true })
    const page = await open('light')
    for (const screen of ['plan', 'bench', 'curves', 'next']) {
      await show(page, screen, studyId)
      writeFileSync(join(into, `${screen}.png`), smallerPng(await page.screenshot()))
    }
  })

try {
  if (forReadme) await pictures()
  else
    for (const [name, make] of Object.entries(series))
      if (wantedSeries.length === 0 || wantedSeries.includes(name)) await make()
} finally {
  await browser.close()
  rmSync(scratch, { recursive: true, force: true })
}
