import { readFile } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Run, Study } from '../../shared/contract/things.ts'
import { codeWithLetter } from '../../shared/process/check-letter.ts'
import { type Door, doors } from './helpers/doors.ts'
import { pagesOfPdf } from './helpers/pdf-text.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** Run cards as the desktop window saves them: what stands on the pages of the PDF itself, on both papers. */
const door = doors[1] as Door

const papers = [
  { paper: 'A4', width: 595, height: 842 },
  { paper: 'Letter', width: 612, height: 792 },
]

describe.skipIf(door.missing)('run cards as PDF through the window', () => {
  let open: StudyOpen
  let page: Page

  beforeAll(async () => {
    open = await openStudy(door, 'bench', 'demo')
    page = open.page
    await page.getByRole('tab', { name: 'Coat' }).click()
    await page.getByRole('region', { name: 'Steps' }).waitFor()
  })
  afterAll(() => open?.close())

  async function saved(what: RegExp, paper: string) {
    const { path } = await open.saveNextFile()
    await page.getByRole('button', { name: 'Print…' }).click()
    for (const [label, option] of [
      ['What', what],
      ['Paper of the PDF', paper],
    ] as const) {
      await page.getByRole('combobox', { name: label }).click()
      await page.getByRole('option', { name: option }).click()
    }
    await page.getByRole('button', { name: 'Save as PDF' }).click()
    const file = await path
    let pdf = Buffer.alloc(0)
    await expect
      .poll(async () => {
        pdf = await readFile(file).catch(() => Buffer.alloc(0))
        return pdf.subarray(-32).includes('%%EOF')
      })
      .toBe(true)
    return pagesOfPdf(pdf)
  }
  const bare = (words: string) => words.replace(/\s/g, '')

  test.each(papers)(
    'the card on $paper: code with its letter, segments, bake',
    async ({ paper, ...size }) => {
      const pages = await saved(/card/, paper)
      expect(pages).toHaveLength(1)
      expect(Math.round(pages[0]?.width ?? 0)).toBe(size.width)
      expect(Math.round(pages[0]?.height ?? 0)).toBe(size.height)
      const { studyId, call } = open
      const { program } = await call<Study>('studies.get', { studyId })
      const run = (await call<Run[]>('bench.runs', { studyId })).at(-1) as Run
      const text = pages[0]?.text ?? ''
      expect(text).toContain(codeWithLetter(studyId, run.code))
      // The last run is a monitor run at 3280 rpm; the other segments are those of the study.
      const segments = program.map(({ rpm, ...others }) => ({ ...others, rpm: rpm === 3250 ? 3280 : rpm }))
      let from = 0
      for (const { rpm, ramp, time } of segments) {
        const at = text.indexOf(`${rpm}${ramp}${time}`, from)
        expect(at, `${rpm} rpm, ${ramp} rpm/s, ${time} s in order`).toBeGreaterThan(-1)
        from = at
      }
      for (const words of ['100 °C display', '98.5 °C surface', 'Read the plate before coating.'])
        expect(text).toContain(bare(words))
    },
  )

  test.each(papers)(
    'the sheet on $paper: six runs a page, each with its letter',
    async ({ paper, ...size }) => {
      const pages = await saved(/sheet/, paper)
      expect(pages).toHaveLength(9)
      const { studyId, call } = open
      const codes = (await call<Run[]>('bench.runs', { studyId })).map(({ code }) => code)
      pages.forEach(({ text, width, height }, i) => {
        expect([Math.round(width), Math.round(height)]).toEqual([size.width, size.height])
        for (const code of codes.slice(6 * i, 6 * i + 6))
          expect(text).toContain(codeWithLetter(studyId, code))
      })
    },
  )
})
