import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Door, doors } from './helpers/doors.ts'
import { shot } from './helpers/shots.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** Files and pasted blocks through the page: bad rows named, the columns mended, all of it in, and taken back. */
const door = doors[0] as Door

describe.skipIf(door.missing)('files come in through the page', () => {
  let open: StudyOpen
  let page: Page
  const runs = () => open.call<{ code: string; readings: number }[]>('bench.runs', { studyId: open.studyId })
  const choose = async (files: { name: string; text: string }[]) => {
    const paths = files.map(({ name }) => join(open.folder, name))
    for (const [i, { text }] of files.entries()) await writeFile(paths[i] as string, text)
    await page.locator('input[type=file]').first().setInputFiles(paths)
  }
  const pick = async (label: string, option: string) => {
    await page.getByRole('combobox', { name: label }).click()
    await page.getByRole('option', { name: option }).click()
  }
  const importButton = () => page.getByRole('button', { name: /^Import \d/ })

  beforeAll(async () => {
    open = await openStudy(door, 'bench', { study: { name: 'Import', targetNm: 1500 } })
    page = open.page
    await page.getByRole('tab', { name: 'Import CSV' }).click()
  })
  afterAll(() => open?.close())

  test('bad rows are named and hold everything back until the column is mended', async () => {
    const text = 'wafer;T1;T2;T3\nW01;1.500,1;1501;1502\nW02;1490,5;---;1492\nMean;1495;1501;1497\n'
    await choose([{ name: 'day2.csv', text }])
    await page.getByText(/Column ‘T1’: ‘1.500,1’ in row 2/).waitFor()
    expect(await importButton().isDisabled()).toBe(true)
    await shot(page, 'import-bad')
    await pick('Thousands sign of ‘T1’', 'point between thousands')
    await page.getByText('→ 1500.1 nm').waitFor()
    await expect.poll(() => importButton().isEnabled()).toBe(true)
    // In another unit, and back: what is read changes beside what stands.
    const unit = page.getByRole('columnheader', { name: /T1/ }).getByLabel('unit')
    await unit.fill('Å')
    await unit.press('Enter')
    await page.getByText('→ 150.01 nm').waitFor()
    await unit.fill('nm')
    await unit.press('Enter')
    await page.getByText('→ 1500.1 nm').waitFor()
    await page.getByLabel('Keep what the columns mean as').fill('Gauge 1')
    await page.getByRole('button', { name: 'Keep', exact: true }).click()
    await page.getByRole('button', { name: 'Read it as ‘Gauge 1’' }).waitFor()
    await shot(page, 'import-mended')
    await importButton().click()
    await page.getByText('Imported 2 new runs and 5 readings from day2.csv.', { exact: true }).waitFor()
    expect((await runs()).map(({ code, readings }) => [code, readings])).toEqual([
      ['W01', 3],
      ['W02', 2],
    ])
  })

  test('the same file is known again, and Undo takes the import back whole', async () => {
    await page.getByRole('tab', { name: 'Import CSV' }).click()
    await page.getByRole('table', { name: /Files that came in/ }).waitFor()
    await choose([
      {
        name: 'again.csv',
        text: 'wafer;T1;T2;T3\nW01;1.500,1;1501;1502\nW02;1490,5;---;1492\nMean;1495;1501;1497\n',
      },
    ])
    await page.getByText(/was imported from ‘day2.csv’/).waitFor()
    await page.getByRole('button', { name: 'Import nothing' }).click()
    await page.getByRole('button', { name: /^Undo/ }).first().click()
    await expect.poll(runs).toEqual([])
    await page.getByRole('cell', { name: 'taken back' }).waitFor()
  })

  test('several files, a substrate each, and a pasted block come in by the same door', async () => {
    const map = (nm: number) => `x (mm),y (mm),thickness\n0,0,${nm}\n40,0,${nm + 1}\n0,40,${nm + 2}\n`
    await choose([
      { name: 'map_W11.csv', text: map(1500) },
      { name: 'map_W12.csv', text: map(1490) },
    ])
    await page.getByRole('cell', { name: 'W12', exact: true }).waitFor()
    await shot(page, 'import-files')
    await importButton().click()
    await page.getByText('Imported 2 new runs and 6 readings from 2 files.', { exact: true }).waitFor()
    await page.getByRole('tab', { name: 'Import CSV' }).click()
    await page.getByText('Or paste a block from a spreadsheet').click()
    await page.getByLabel('Pasted block').fill('wafer\tsite\tthickness\nW11\t1\t1500.5\nW11\t2\t1501.5\n')
    await page.getByRole('button', { name: 'Look at the block' }).click()
    await importButton().click()
    await expect.poll(async () => (await runs())[0]?.readings).toBe(5)
  })

  // The engine's own tests cancel imports; here it takes a long file.
  test.runIf(process.env.EVENFILM_TEST_LONG)(
    'a long file shows how far it has come and can be cancelled',
    async () => {
      await page.getByRole('tab', { name: 'Import CSV' }).click()
      const rows = Array.from({ length: 20_000 }, (_, i) => `L${Math.floor(i / 300)},${1500 + (i % 7)},3000`)
      await choose([{ name: 'long.csv', text: ['wafer,thickness,speed (rpm)', ...rows].join('\n') }])
      await importButton().waitFor()
      await importButton().click()
      await page.getByRole('progressbar').waitFor()
      await shot(page, 'import-progress')
      await page.getByRole('button', { name: 'Cancel' }).click()
      await page.getByText(/This was cancelled/).waitFor()
      expect(await runs()).toHaveLength(2)
    },
  )
})
