import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type Page } from 'playwright-core'
// @ts-expect-error: build/ is plain JavaScript
import { findChromium } from '../../build/browser.js'
import { serveInBrowser } from '../../electron/browser.ts'
import { typingStudy } from './typing-study.ts'

/**
 * Milliseconds from a key to what it changes on the screen, at the bench of a study of 500 runs with 49 sites each:
 * from the key to the frame with the new summary and map, and from Enter to the reading shown as saved. Beside it, in
 * the same page, a bare input that shows the key and nothing else: `node tests/bench/typing.ts [FILE]` prints JSON,
 * and writes it to the file. Needs the bundles of dist/.
 */

const runs = 500
const sites = 49
/** Between two keys, ms: a quick typist. */
const pause = 90

/** What the page has taken down, ms. */
type Taken = { typed: number[]; saved: number[]; bare: number[] }
type Times = { keys: number; median: number; p95: number; most: number }

function timesOf(values: number[]): Times {
  const sorted = [...values].sort((a, b) => a - b)
  const at = (share: number) =>
    Number((sorted[Math.ceil(share * sorted.length) - 1] ?? Number.NaN).toFixed(2))
  return { keys: sorted.length, median: at(0.5), p95: at(0.95), most: at(1) }
}

/** Starts to take times in the page: of keys until both regions have changed and are painted, of Enter until it is saved. */
function watchKeys(): void {
  const here = window as unknown as Taken
  Object.assign(here, { typed: [], saved: [], bare: [] })
  const summary = document.querySelector('[aria-label="What the readings say"]') as Element
  const map = document.querySelector('[aria-label="Wafer map"]') as Element
  let open: { at: number; summary: boolean; map: boolean } | null = null
  const waiting = new Map<string, number>()
  const painted = (then: () => void) =>
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel()
      port1.onmessage = then
      port2.postMessage(0)
    })
  window.addEventListener(
    'keydown',
    (event) => {
      const field = event.target as HTMLInputElement
      const at = event.timeStamp
      if (field.id === 'bare') return painted(() => here.bare.push(performance.now() - at))
      if (event.key === 'Enter') waiting.set(field.id, at)
      else open = { at, summary: false, map: false }
    },
    true,
  )
  const changed = (what: 'summary' | 'map') => () => {
    if (!open) return
    open[what] = true
    if (!open.summary || !open.map) return
    const { at } = open
    open = null
    painted(() => here.typed.push(performance.now() - at))
  }
  const all = { childList: true, subtree: true, characterData: true, attributes: true }
  new MutationObserver(changed('summary')).observe(summary, all)
  new MutationObserver(changed('map')).observe(map, all)
  new MutationObserver(() => {
    for (const [id, at] of waiting) {
      if (document.getElementById(`${id}-said`)?.textContent?.includes('Not saved')) continue
      waiting.delete(id)
      painted(() => here.saved.push(performance.now() - at))
    }
  }).observe(document.querySelector('[aria-label="Readings"]') as Element, all)
}

async function typeAll(page: Page) {
  await page.getByLabel('Site 1', { exact: true }).focus()
  for (let site = 1; site <= sites; site++) {
    for (const key of (1480 + ((site * 7) % 40)).toString()) {
      await page.keyboard.press(key)
      await page.waitForTimeout(pause)
    }
    await page.keyboard.press('Enter')
    await page.waitForTimeout(pause)
  }
  await page.waitForTimeout(2000)
}

async function typeBare(page: Page) {
  await page.evaluate(() => {
    const field = Object.assign(document.createElement('input'), { id: 'bare' })
    document.body.append(field)
    field.focus()
  })
  for (let i = 0; i < 4 * sites; i++) {
    await page.keyboard.press(String(i % 10))
    await page.waitForTimeout(pause)
  }
}

const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-typing-'))
const data = join(folder, 'typed.evenfilm')
const { studyId, runId } = await typingStudy(data, runs)
const served = await serveInBrowser({ data })
if (!served.ok) throw new Error(served.problems[0]?.message)
const browser = await chromium.launch({
  executablePath: findChromium() ?? '',
  args: ['--no-sandbox', '--disable-quic', '--disable-background-networking'],
})
try {
  const context = await browser.newContext({ viewport: { width: 1280, height: 720 } })
  const page = await context.newPage()
  await page.goto(served.value.address)
  await page.waitForURL(new URL('/', served.value.address).href)
  await page.evaluate((hash) => {
    location.hash = hash
  }, `bench/${studyId}/${runId}`)
  await page.getByRole('tab', { name: 'Read' }).click()
  await page.getByLabel('Site 1', { exact: true }).waitFor()
  await page.waitForTimeout(1500)
  await page.evaluate(watchKeys)
  await typeAll(page)
  await typeBare(page)
  const { typed, saved, bare } = await page.evaluate(() => {
    const { typed, saved, bare } = window as unknown as Taken
    return { typed, saved, bare }
  })
  const result = {
    runs,
    sites,
    pause,
    keyToSummaryAndMap: timesOf(typed),
    enterToSaved: timesOf(saved),
    bareInputAndPaint: timesOf(bare),
    ratioOfMedians: Number((timesOf(typed).median / timesOf(bare).median).toFixed(2)),
  }
  const json = `${JSON.stringify(result, null, 2)}\n`
  process.stdout.write(json)
  const [file] = process.argv.slice(2)
  if (file) writeFileSync(file, json)
} finally {
  await browser.close()
  await served.value.close()
  rmSync(folder, { recursive: true, force: true })
}
