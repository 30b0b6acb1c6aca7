import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Factor } from '../../../shared/contract/things.ts'
import { design } from '../../engine/studies-for-tests.ts'
import { type Door, doors } from '../helpers/doors.ts'
import { openStudy, type StudyOpen, showScreen } from '../helpers/study.ts'

/** A study whose every text is as awkward as a text can be: it pushes nothing out of the window, and stays text. */
const door = doors[0] as Door

const evil = `<img src=x onerror="globalThis.reached='yes'">'&]]>`
const turned = 'עובי \u202eהסרט\u2066 عينة\u200c 膜厚 e\u0301\u0302 👩\u200d🔬'
const awkward = (most: number) => `${evil}${turned}${'W'.repeat(most)}`.slice(0, most)

const factor = (name: string, role: Factor['role'], range: [number, number], levels: number): Factor => ({
  ...{ name, role, unit: 'W'.repeat(20), kind: 'continuous', levelNames: [], step: null, scale: 'linear' },
  ...{ low: range[0], high: range[1], levels, hardToChange: false },
})

/** What of the page lies beyond its right side, apart from what a box of its own scrolls. */
const beyondWindow = (page: Page) =>
  page.evaluate(() => {
    const scrolls = (element: Element): boolean => {
      const parent = element.parentElement
      if (!parent || parent === document.body) return false
      const { overflowX } = getComputedStyle(parent)
      const within = parent.getBoundingClientRect().right <= innerWidth + 1
      return (overflowX !== 'visible' && within) || scrolls(parent)
    }
    return [...document.querySelectorAll('body *')]
      .filter((element) => element.getBoundingClientRect().right > innerWidth + 1 && !scrolls(element))
      .map((element) => `${element.tagName}.${element.className} ${element.textContent?.slice(0, 40)}`)
  })

/** Whether the screen itself would have to be moved sideways. */
const sideways = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('html, body, main, main > *')]
      .filter((element) => element.scrollWidth > element.clientWidth + 1)
      .map(
        (element) =>
          `${element.tagName}.${element.className} ${element.scrollWidth} > ${element.clientWidth}`,
      ),
  )

describe.skipIf(door.missing)('texts of any kind and length', () => {
  let open: StudyOpen

  beforeAll(async () => {
    const study = {
      ...{ name: awkward(200), question: awkward(2000), substrate: awkward(200), resist: awkward(200) },
      ...{ roomRules: awkward(5000), notes: awkward(10_000), lots: [awkward(200)] },
      ...{ targetNm: 1500, toleranceNm: 30 },
    }
    const factors = [factor(awkward(200), 'speed', [2000, 4000], 3), factor('time', 'time', [20, 60], 2)]
    open = await openStudy(door, 'bench', { study, factors, design })
    const { call, studyId } = open
    const runs = await call<{ id: string; settings: Record<string, number> }[]>('bench.runs', { studyId })
    for (const [i, { id: runId, settings }] of runs.entries()) {
      const thickness = 1500 * Math.sqrt(3000 / (settings[awkward(200)] ?? 1)) * (1 + 0.003 * (-1) ** i)
      const readings = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((site) => ({
        site,
        text: (thickness + site).toFixed(1),
      }))
      await call('bench.enterReadings', { runId, unit: 'nm', readings })
      const texts = { note: awkward(2000), lot: awkward(200), session: awkward(200), substrate: awkward(200) }
      await call('bench.updateRun', {
        runId,
        change: i === 0 ? { ...texts, excluded: awkward(2000) } : texts,
      })
    }
  }, 60_000)
  afterAll(() => open?.close())

  test.each(['studies', 'plan', 'bench', 'curves', 'lots', 'report'])(
    '%s keeps within the window',
    async (screen) => {
      const { page, studyId } = open
      await showScreen(page, screen, studyId)
      await page.locator('main :is(table, canvas, dl, iframe, h2)').first().waitFor()
      await page.waitForLoadState('networkidle')
      expect(await sideways(page)).toEqual([])
      expect(await beyondWindow(page)).toEqual([])
    },
  )

  test('so does the report as a document in a window of its own', async () => {
    const { page, call, studyId } = open
    const { text } = await call<{ text: string }>('reports.document', { studyId })
    const alone = await page.context().newPage()
    await alone.setContent(text)
    expect(await alone.locator('#origin').count()).toBe(1)
    expect(await beyondWindow(alone)).toEqual([])
    expect(await alone.locator('img, script').count()).toBe(0)
    await alone.close()
  })

  test('and no text was taken for anything else', async () => {
    expect(await open.page.evaluate(() => 'reached' in globalThis)).toBe(false)
    expect(await open.page.locator('img').count()).toBe(0)
    expect(open.complaints).toEqual([])
  })
})
