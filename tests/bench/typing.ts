import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { CDPSession, Page } from 'playwright-core'
import { spreadOf } from './figure.ts'
import { servedPage } from './served-page.ts'
import { typingStudy } from './typing-study.ts'

/**
 * Milliseconds from a key to what it changes on the screen, at the bench of a study of 500 runs with 9 sites each, or 49:
 * from the key to the frame with the new summary and map, and from Enter to the reading shown as saved. Beside it, in
 * the same page, a bare input that shows the key and nothing else: `node tests/bench/typing.ts [FILE] [9 | 49]` prints
 * JSON, and writes it to the file. Script, style and layout of each key are counted by the browser itself. Needs the
 * bundles of dist/.
 */

const runs = 500
const sites = process.argv[3] === '49' ? 49 : 9
/** Keys that are typed at least: a map of few sites is typed several times over. */
const leastKeys = 200
/** Between two keys, ms: a quick typist. */
const pause = 90

/** What the page has taken down, ms. */
type Taken = { typed: number[]; saved: number[]; bare: number[] }

const timesOf = (values: number[]) => ({ keys: values.length, ...spreadOf(values) })

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

/** Script, style and layout that the page has done so far, ms. */
async function workOf(session: CDPSession): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics')
  const counted = new Set(['ScriptDuration', 'RecalcStyleDuration', 'LayoutDuration'])
  return metrics.reduce((sum, { name, value }) => sum + (counted.has(name) ? 1000 * value : 0), 0)
}

/** Types the map of the run over and over; ms of script, style and layout for each key. */
async function typeAll(page: Page): Promise<number[]> {
  const session = await page.context().newCDPSession(page)
  await session.send('Performance.enable')
  const work: number[] = []
  for (let round = 0; work.length < leastKeys; round++) work.push(...(await typeMap(page, session, round)))
  await page.waitForTimeout(2000)
  return work
}

async function typeMap(page: Page, session: CDPSession, round: number): Promise<number[]> {
  const work: number[] = []
  await page.getByLabel('Site 1', { exact: true }).focus()
  for (let site = 1; site <= sites; site++) {
    for (const key of (1480 + ((site * 7 + round) % 40)).toString()) {
      const before = await workOf(session)
      await page.keyboard.press(key)
      await page.waitForTimeout(pause)
      work.push((await workOf(session)) - before)
    }
    await page.keyboard.press('Enter')
    await page.waitForTimeout(pause)
  }
  return work
}

async function typeBare(page: Page) {
  await page.evaluate(() => {
    const field = Object.assign(document.createElement('input'), { id: 'bare' })
    document.body.append(field)
    field.focus()
  })
  for (let i = 0; i < leastKeys; i++) {
    await page.keyboard.press(String(i % 10))
    await page.waitForTimeout(pause)
  }
}

const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-typing-'))
const data = join(folder, 'typed.evenfilm')
const { studyId, runId } = await typingStudy(data, runs, sites === 9 ? '9' : '49')
const { page, close } = await servedPage(data, `bench/${studyId}/${runId}`)
try {
  await page.getByRole('tab', { name: 'Read' }).click()
  await page.getByLabel('Site 1', { exact: true }).waitFor()
  await page.waitForTimeout(1500)
  await page.evaluate(watchKeys)
  const work = await typeAll(page)
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
    workOfAKey: timesOf(work),
    enterToSaved: timesOf(saved),
    bareInputAndPaint: timesOf(bare),
    ratioOfMedians: Number((timesOf(typed).median / timesOf(bare).median).toFixed(2)),
  }
  const json = `${JSON.stringify(result, null, 2)}\n`
  process.stdout.write(json)
  const [file] = process.argv.slice(2)
  if (file) writeFileSync(file, json)
} finally {
  await close()
  rmSync(folder, { recursive: true, force: true })
}
