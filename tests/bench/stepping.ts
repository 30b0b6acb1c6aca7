import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { CDPSession, Page } from 'playwright-core'
import { spreadOf } from './figure.ts'
import { servedPage } from './served-page.ts'
import { typingStudy } from './typing-study.ts'

/**
 * What a step of the working point costs in Curves with 500 runs: ms of script from the key to the chart as it stays,
 * ms until the chart is first drawn anew and until the engine's answer is drawn, and how many frames were long. The same
 * for a reading that another page corrects. `node tests/bench/stepping.ts [FILE [STEPS]]` prints JSON, and writes it to the file.
 * Needs the bundles of dist/.
 */
const runs = 500
const [file, asked = '200'] = process.argv.slice(2)
const steps = Number(asked)
const changes = Math.ceil(steps / 10)
/** A step is over when nothing was drawn for so long, ms. */
const still = 120

type Drawn = { begun: number; first: number; last: number; count: number }
type Page_ = { drawn: Drawn; longFrames: number; lateFrames: number }
type Cost = { script: number; task: number; first: number; last: number; draws: number }

/** Starts to take down what is drawn on canvases, and frames that came late. */
function watchDrawing(): void {
  const here = window as unknown as Page_
  Object.assign(here, { drawn: { begun: 0, first: 0, last: 0, count: 0 }, longFrames: 0, lateFrames: 0 })
  const pen = CanvasRenderingContext2D.prototype
  const clear = pen.clearRect
  pen.clearRect = function (...args) {
    clear.apply(this, args)
    // Each drawing begins with a clear canvas; it is done when its task is.
    const { port1, port2 } = new MessageChannel()
    port1.onmessage = () => {
      const now = performance.now()
      if (here.drawn.count === 0) here.drawn.first = now
      here.drawn.last = now
      here.drawn.count += 1
    }
    port2.postMessage(0)
  }
  window.addEventListener(
    'keydown',
    (event) => {
      here.drawn = { begun: event.timeStamp, first: 0, last: 0, count: 0 }
    },
    true,
  )
  new PerformanceObserver((list) => {
    here.longFrames += list.getEntries().length
  }).observe({ type: 'long-animation-frame' })
  let before = performance.now()
  const look = (now: number) => {
    if (now - before > 25) here.lateFrames += 1
    before = now
    requestAnimationFrame(look)
  }
  requestAnimationFrame(look)
}

async function spent(session: CDPSession): Promise<{ script: number; task: number }> {
  const { metrics } = (await session.send('Performance.getMetrics')) as {
    metrics: { name: string; value: number }[]
  }
  const of = (name: string) => 1000 * (metrics.find((one) => one.name === name)?.value ?? Number.NaN)
  return { script: of('ScriptDuration'), task: of('TaskDuration') }
}

/** Waits until something was drawn and nothing more is. */
async function settled(page: Page): Promise<Drawn> {
  await page.waitForFunction(
    (still) => {
      const { drawn } = window as unknown as Page_
      return drawn.count > 0 && performance.now() - drawn.last > still
    },
    still,
    { polling: 40 },
  )
  return page.evaluate(() => (window as unknown as Page_).drawn)
}

async function costOf(page: Page, session: CDPSession, act: () => Promise<void>): Promise<Cost> {
  const before = await spent(session)
  await act()
  const { begun, first, last, count } = await settled(page)
  const after = await spent(session)
  return {
    script: after.script - before.script,
    task: after.task - before.task,
    first: first - begun,
    last: last - begun,
    draws: count,
  }
}

function summary(costs: Cost[]) {
  const of = (name: keyof Cost) => spreadOf(costs.map((cost) => cost[name]))
  return {
    times: costs.length,
    scriptMs: of('script'),
    taskMs: of('task'),
    toFirstDrawingMs: of('first'),
    toAnswerDrawnMs: of('last'),
    drawings: of('draws'),
  }
}

/** Frames over 50 ms, and those that came more than half a frame late, while this went on. */
async function framesOf<T>(page: Page, work: () => Promise<T>) {
  const count = () =>
    page.evaluate(() => {
      const { longFrames, lateFrames } = window as unknown as Page_
      return { longFrames, lateFrames }
    })
  const before = await count()
  const result = await work()
  const after = await count()
  return {
    result,
    longFrames: after.longFrames - before.longFrames,
    lateFrames: after.lateFrames - before.lateFrames,
  }
}

async function stepping(page: Page, session: CDPSession, tab: string) {
  await page.getByRole('tab', { name: tab }).click()
  const button = page.getByRole('button', { name: 'Raise speed' })
  await button.focus()
  await page.waitForTimeout(2500)
  const { result, ...frames } = await framesOf(page, async () => {
    const costs: Cost[] = []
    for (let step = 0; step < steps; step++) {
      // Up and down again, so that the point stays among the settings.
      if (step % 8 === 0)
        await page.getByRole('button', { name: step % 16 === 0 ? 'Raise speed' : 'Lower speed' }).focus()
      costs.push(await costOf(page, session, () => page.keyboard.press('Enter')))
    }
    return costs
  })
  return { ...summary(result), ...frames }
}

/** Corrects a reading from outside, as another page would. */
async function correct(page: Page, runId: string, text: string) {
  await page.evaluate(
    async ([id, reading]) => {
      const here = window as unknown as Page_
      here.drawn = { begun: performance.now(), first: 0, last: 0, count: 0 }
      const args = { runId: id, unit: 'nm', readings: [{ site: 1, text: reading }] }
      await fetch('/call', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ name: 'bench.enterReadings', args }),
      })
    },
    [runId, text] as const,
  )
}

const folder = mkdtempSync(join(tmpdir(), 'evenfilm-bench-stepping-'))
const data = join(folder, 'stepped.evenfilm')
const { studyId, runId } = await typingStudy(data, runs)
const { page, close } = await servedPage(data, `curves/${studyId}`)
try {
  await page.getByRole('tab', { name: 'One factor' }).waitFor()
  await page.waitForTimeout(1500)
  await page.evaluate(watchDrawing)
  const session = await page.context().newCDPSession(page)
  await session.send('Performance.enable')
  const curve = await stepping(page, session, 'One factor')
  const { result: corrected, ...frames } = await framesOf(page, async () => {
    await page.getByRole('tab', { name: 'One factor' }).click()
    await page.waitForTimeout(1500)
    const costs: Cost[] = []
    for (let k = 0; k < changes; k++)
      costs.push(await costOf(page, session, () => correct(page, runId, (1480 + k).toFixed(1))))
    return costs
  })
  const surface = await stepping(page, session, 'Two factors')
  const result = { runs, curve, surface, readingCorrected: { ...summary(corrected), ...frames } }
  const json = `${JSON.stringify(result, null, 2)}\n`
  process.stdout.write(json)
  if (file) writeFileSync(file, json)
} finally {
  await close()
  rmSync(folder, { recursive: true, force: true })
}
