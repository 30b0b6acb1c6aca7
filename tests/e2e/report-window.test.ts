import { readFile } from 'node:fs/promises'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { partTitles } from '../../shared/report/part-titles.ts'
import { type Door, doors } from './helpers/doors.ts'
import { pagesOfPdf } from './helpers/pdf-text.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** The report as the desktop window saves it: what stands on the pages of the PDF. */
const door = doors[1] as Door
const bare = (words: string) => words.replace(/\s/g, '')

describe.skipIf(door.missing)('the report as PDF through the window', () => {
  let open: StudyOpen

  beforeAll(async () => {
    open = await openStudy(door, 'report', 'demo')
  }, 60_000)
  afterAll(() => open?.close())

  test('every part stands in it, pages are numbered, headers of long tables are repeated', async () => {
    const { page } = open
    await page.locator('iframe').waitFor({ timeout: 60_000 })
    const { path } = await open.saveNextFile()
    await page.getByRole('button', { name: 'Save as PDF…' }).click()
    const file = await path
    let pdf = Buffer.alloc(0)
    await expect
      .poll(
        async () => {
          pdf = await readFile(file).catch(() => Buffer.alloc(0))
          return pdf.subarray(-32).includes('%%EOF')
        },
        { timeout: 60_000 },
      )
      .toBe(true)
    const pages = pagesOfPdf(pdf)
    expect(pages.length).toBeGreaterThan(10)
    const whole = pages.map(({ text }) => text).join('')
    for (const title of Object.values(partTitles)) expect(whole).toContain(bare(title))
    pages.forEach(({ text }, i) => {
      expect(text).toContain(`${i + 1}/${pages.length}`)
    })
    // The header of the 54 runs, and that of their readings, stand on each page that they go over.
    for (const header of ['Non-unif.(%)State', 'RunQuantityUnitReadings'])
      expect(pages.filter(({ text }) => text.includes(header)).length).toBeGreaterThan(1)
    expect(open.complaints).toEqual([])
  }, 120_000)
})
