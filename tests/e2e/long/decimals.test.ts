import { readFile } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Door, doors } from '../helpers/doors.ts'
import { openStudy, type StudyOpen, showScreen } from '../helpers/study.ts'

/** The page on a system that writes 0,5: one sign on the screen, and files as everywhere. */
const door = doors[0] as Door

describe.skipIf(door.missing)('the page of a system with decimal commas', () => {
  let open: StudyOpen
  let page: Page

  beforeAll(async () => {
    open = await openStudy(door, 'curves', 'demo', { locale: 'de-DE' })
    page = open.page
  })
  afterAll(() => open?.close())

  /** All that is read and said on the page, tables behind charts and labels too. */
  const said = () =>
    page.evaluate(() =>
      [
        document.body.textContent ?? '',
        ...[...document.querySelectorAll('[aria-label], [title], input')].map((it) =>
          [it.getAttribute('aria-label'), it.getAttribute('title'), (it as HTMLInputElement).value].join(' '),
        ),
      ].join('\n'),
    )
  const settled = async () => {
    await expect
      .poll(() => page.locator('[aria-busy="true"], [role="progressbar"]').count(), { timeout: 55_000 })
      .toBe(0)
  }
  /** Numbers with a point, but for what a person typed, as the study's name and a note, and sections of what is cited. */
  const pointed = (text: string) =>
    text
      .replaceAll(/1\.5 (?:µm \(simulated\)|°C warmer)/g, '')
      .match(/.{0,40}(?<![\d.])\d+\.\d+(?![.\d]).{0,20}/g) ?? []

  test.each(['curves', 'next', 'lots'])(
    '%s writes no decimal point, on any of its tabs',
    async (screen) => {
      await showScreen(page, screen, open.studyId)
      await page
        .locator(`main[aria-label="${screen.replace(/^./, (first) => first.toUpperCase())}"]`)
        .waitFor()
      await page.locator('main h2, main table').first().waitFor({ timeout: 55_000 })
      const tabs = page.locator('main').getByRole('tab')
      const labels = await tabs.allInnerTexts()
      let commas = 0
      for (const label of labels.length > 0 ? labels : ['']) {
        if (label) await page.locator('main').getByRole('tab', { name: label, exact: true }).click()
        await settled()
        const now = await said()
        expect(pointed(now), `${screen} ${label}`).toEqual([])
        commas += now.match(/\d,\d/g)?.length ?? 0
      }
      expect(commas, screen).toBeGreaterThan(10)
    },
    120_000,
  )

  test('files keep the point', async () => {
    await showScreen(page, 'report', open.studyId)
    const csv = await open.saveNextFile()
    await page.getByRole('button', { name: 'Readings…' }).click()
    const readings = await readFile(await csv.path, 'utf8')
    expect(readings).toBe(
      (await open.call<{ text: string }>('reports.readingsCsv', { studyId: open.studyId })).text,
    )
    expect(readings).toMatch(/,\d+\.\d/)
    const document = await open.saveNextFile()
    await page.getByRole('button', { name: 'Save as HTML…' }).click()
    const report = await readFile(await document.path, 'utf8')
    expect(report).toMatch(/\d\.\d/)
    expect(report.replace(/<svg[\s\S]*?<\/svg>|<style>[\s\S]*?<\/style>/g, '')).not.toMatch(/\d,\d/)
  }, 120_000)

  test('another sign is chosen in the settings, and everything shown follows', async () => {
    await showScreen(page, 'curves', open.studyId)
    await settled()
    await page.getByLabel('Decimal sign', { exact: true }).click()
    await page.getByRole('option', { name: '0.5' }).click()
    await expect.poll(async () => /\d,\d/.test(await said()), { timeout: 55_000 }).toBe(false)
    expect(pointed(await said()).length).toBeGreaterThan(0)
  }, 120_000)
})
