import { chromium } from 'playwright-core'
// @ts-expect-error: build/ is plain JavaScript
import { findChromium } from '../../build/browser.js'
import { serveInBrowser } from '../../electron/browser.ts'

/** The program in a Chromium, on this database, at the place of a hash such as `curves/STUDY`; `close` ends both. */
export async function servedPage(data: string, hash: string) {
  const served = await serveInBrowser({ data })
  if (!served.ok) throw new Error(served.problems[0]?.message)
  const { address, close } = served.value
  const browser = await chromium.launch({
    executablePath: findChromium() ?? '',
    args: ['--no-sandbox', '--disable-quic', '--disable-background-networking'],
  })
  const context = await browser.newContext({ viewport: { width: 1280, height: 720 } })
  const page = await context.newPage()
  await page.goto(address)
  await page.waitForURL(new URL('/', address).href)
  await page.evaluate((to) => {
    location.hash = to
  }, hash)
  return {
    page,
    async close() {
      await browser.close()
      await close()
    },
  }
}
