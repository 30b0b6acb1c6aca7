import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { codeWithLetter } from '../../shared/process/check-letter.ts'
import { type Door, doors } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** Run cards on paper: how many pages, and what stands on them. Only a browser makes a PDF here. */
const door = doors[0] as Door

/** Pages of a PDF by its page objects. */
const pagesOf = (pdf: Buffer) => pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length

describe.skipIf(door.missing)('run cards on paper', () => {
  let open: StudyOpen
  let page: Page

  beforeAll(async () => {
    open = await openStudy(door, 'bench', 'demo')
    page = open.page
    await page.evaluate(() => {
      window.print = () => {}
    })
    await page.getByRole('tab', { name: 'Coat' }).click()
  }, 60_000)
  afterAll(() => open?.close())

  const printed = async () => {
    await page.emulateMedia({ media: 'print' })
    // biome-ignore lint/performance/useDomNodeTextContent: only the text that is laid out is printed
    const text = await page.locator('.paper').innerText()
    const pages = []
    for (const format of ['A4', 'Letter']) pages.push(pagesOf(await page.pdf({ format })))
    await page.emulateMedia({ media: 'screen' })
    return { text, pages }
  }

  test('the card of a run is one page of either paper, with its code, both temperatures and its steps', async () => {
    await page.getByRole('region', { name: 'Steps' }).waitFor()
    const { text, pages } = await printed()
    expect(pages).toEqual([1, 1])
    for (const words of [
      codeWithLetter(open.studyId, 'W54'),
      '100 °C display',
      '98.5 °C surface',
      'Read the plate before coating.',
      'Edge bead removal',
      'safety data sheet',
    ])
      expect(text.replace(/\s+/g, ' ')).toContain(words)
  })

  test('the sheet holds six runs a page, each with the letter of its code', async () => {
    await page.getByRole('button', { name: 'Print…' }).click()
    await page.getByRole('combobox', { name: 'What' }).click()
    await page.getByRole('option', { name: /sheet/ }).click()
    await page.getByRole('button', { name: 'Print', exact: true }).click()
    await page.locator('.paper .page').first().waitFor({ state: 'attached' })
    const { text, pages } = await printed()
    expect(pages).toEqual([9, 9])
    for (const code of ['W01', 'W12', 'W30', 'W54'])
      expect(text).toContain(codeWithLetter(open.studyId, code))
  })
})
