import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { chromium } from 'playwright-core'
import { serveInBrowser } from '../electron/browser.ts'
import { findChromium } from './browser.js'
import { bundle, stale } from './bundle.js'
import { root } from './node-version.js'

/**
 * Makes a screenshot of every screen in every theme on the demo study, for people to look at.
 *
 *   node build/shots.js [FOLDER] [SCREEN …]     into tests/shots/ without a folder, all screens without a name
 */
const themes = ['light', 'dark', 'bay']
const size = { width: 1280, height: 720 }
const [folder = join(root, 'tests/shots'), ...only] = process.argv.slice(2)

/** Opens the page in a theme; what it complains about is printed, since a clean page says nothing. */
async function openPage(browser, address, theme) {
  const context = await browser.newContext({ viewport: size })
  await context.addInitScript((chosen) => {
    // The report stands in a frame that has no storage.
    if (window === window.top) localStorage.setItem('evenfilm.settings', JSON.stringify({ theme: chosen }))
  }, theme)
  const page = await context.newPage()
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) console.error(`page: ${message.text()}`)
  })
  page.on('pageerror', (error) => console.error(`page: ${error}`))
  await page.goto(address)
  return page
}

/** Waits until nothing is being counted or drawn any more. */
async function settled(page) {
  await page.waitForLoadState('networkidle').catch(() => {})
  await page.waitForFunction(() => !document.querySelector('[aria-busy="true"]'))
  await page.waitForTimeout(400)
}

/** Points of a picture that hold any blue: the bay theme must have none. */
function bluePoints(page, picture) {
  return page.evaluate(async (data) => {
    const image = new Image()
    image.src = `data:image/png;base64,${data}`
    await image.decode()
    const canvas = Object.assign(document.createElement('canvas'), {
      width: image.width,
      height: image.height,
    })
    const context = canvas.getContext('2d')
    context.drawImage(image, 0, 0)
    const { data: points } = context.getImageData(0, 0, image.width, image.height)
    return points.reduce((count, value, i) => count + (i % 4 === 2 && value > 0 ? 1 : 0), 0)
  }, picture.toString('base64'))
}

async function shoot(page, name) {
  await settled(page)
  const picture = await page.screenshot({ path: join(folder, `${name}.png`) })
  console.log(`${name}.png`)
  if (!name.startsWith('bay')) return
  const blue = await bluePoints(page, picture)
  if (blue === 0) return
  console.error(`${name}.png: ${blue} points hold blue`)
  process.exitCode = 1
}

const screens = ['studies', 'plan', 'bench', 'curves', 'next', 'lots', 'report']
const wanted = (screen) => only.length === 0 || only.includes(screen)

const browserFile = findChromium()
if (!browserFile) {
  console.error('No Chromium was found. Name one in EVENFILM_BROWSER.')
  process.exit(2)
}
await bundle(stale(['page']))
mkdirSync(resolve(folder), { recursive: true })
const scratch = mkdtempSync(join(tmpdir(), 'evenfilm-shots-'))
const browser = await chromium.launch({
  executablePath: browserFile,
  args: ['--no-sandbox', '--disable-quic', '--disable-background-networking'],
})
try {
  for (const theme of themes) {
    const served = await serveInBrowser({ data: join(scratch, `${theme}.evenfilm`) })
    if (!served.ok) throw new Error(served.problems[0].message)
    const page = await openPage(browser, served.value.address, theme)
    if (wanted('empty')) await shoot(page, `${theme}-0-empty`)
    await page.getByRole('button', { name: 'Open the demo study' }).click()
    await page.waitForFunction(() => location.hash.startsWith('#curves/'), null, { timeout: 60_000 })
    const study = await page.evaluate(() => location.hash.split('/')[1])
    for (const [i, screen] of screens.entries()) {
      if (!wanted(screen)) continue
      await page.evaluate((hash) => {
        location.hash = hash
      }, `${screen}/${study}`)
      await shoot(page, `${theme}-${i + 1}-${screen}`)
    }
    await page.context().close()
    await served.value.close()
  }
} finally {
  await browser.close()
  rmSync(scratch, { recursive: true, force: true })
}
