import { readFileSync } from 'node:fs'
import type { AxeResults, RunOptions } from 'axe-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { design, speed } from '../engine/studies-for-tests.ts'
import { axe } from './helpers/axe.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

type Runs = { id: string; code: string; readings: { site: number; text: string }[] }[]
const textsOf = async (open: StudyOpen) => {
  const { runs } = await open.call<{ runs: Runs }>('bench.readings', { studyId: open.studyId })
  return runs.map(({ readings }) => readings.map(({ site, text }) => `${site}: ${text}`))
}
const focused = ({ page }: StudyOpen) => page.evaluate(() => document.activeElement?.id)
const tab = ({ page }: StudyOpen, name: string) => page.getByRole('tab', { name, exact: true }).click()

/** Whoever works at the bench in gloves: large targets, the whole job in view, and no key in the wrong run. */
describe.each(browserFirst)('hands at the bench: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    beforeAll(async () => {
      const question =
        'Which speed gives an even film of 1500 nm, and how long and how hot must it be baked afterwards?'
      const study = { name: 'Hands at work', question, targetNm: 1500, toleranceNm: 30, siteMap: '9' }
      open = await openStudy(door, 'bench', { study, factors: [speed], design })
    })
    afterAll(() => open?.close())

    /** What is less than 40 px high though it is pressed, by what it says. */
    const small = () =>
      open.page.evaluate(() =>
        [...document.querySelectorAll('.screen button:not(.unseen), .screen .entry, .screen label:has(.box)')]
          .map((it) => [it.getBoundingClientRect(), it.textContent?.trim() || it.className] as const)
          .filter(([{ width, height }]) => width > 2 && height > 0 && height < 40)
          .map(([{ height }, name]) => `${name}: ${height} px`),
      )

    test('every button and field under Coat and Read is at least 40 px high', async () => {
      await open.page.getByRole('button', { name: 'Coated: go on to the readings' }).waitFor()
      expect(await small()).toEqual([])
      await tab(open, 'Read')
      await open.page.locator('#site-9').waitFor()
      expect(await small()).toEqual([])
    })

    test('nine sites, their map, mean, spread and non-uniformity are in view without scrolling', async () => {
      const inView = await open.page.evaluate(() => {
        const parts = [
          ...document.querySelectorAll('input[id^="site-"]'),
          ...document.querySelectorAll(
            '[aria-label="Wafer map"] .map, [aria-label="What the readings say"] dl > *',
          ),
        ]
        return parts.slice(0, 13).map((it) => it.getBoundingClientRect().bottom <= window.innerHeight)
      })
      expect(inView).toEqual(Array.from({ length: 13 }, () => true))
    })

    test('the map is gone over by arrow keys, says its sites, and is a table', async () => {
      const { page } = open
      await page.locator('#site-1').fill('1510.5')
      await page.locator('#site-1').press('Enter')
      await expect.poll(() => textsOf(open).then(([first]) => first)).toEqual(['1: 1510.5'])
      const map = page.getByRole('img', { name: /^Wafer map, flat down: 1 of 9 sites read/ })
      await map.focus()
      await page.keyboard.press('ArrowRight')
      await expect.poll(() => page.locator('.map .said').textContent()).toBe('site 1: 1510.5 nm')
      await page.keyboard.press('ArrowRight')
      await expect.poll(() => page.locator('.map .said').textContent()).toMatch(/^site \d: not read$/)
      await page.keyboard.press('Enter')
      expect(await focused(open)).toMatch(/^site-[2-9]$/)
      await page.getByRole('button', { name: 'As a table: Wafer map of W01' }).click()
      const rows = await page
        .getByRole('region', { name: /as a table/ })
        .locator('tr')
        .allTextContents()
      expect(rows).toHaveLength(10)
      expect(rows[0]).toBe('Sitex (mm)y (mm)Thickness (nm)Note')
      expect(rows[1]).toBe('10.00.01510.5')
      await page.getByRole('button', { name: 'As a map: Wafer map of W01' }).click()
    })

    test('the picture of a map is saved as SVG and as PNG', async () => {
      const { page } = open
      await page.getByRole('button', { name: 'Picture: Wafer map of W01' }).click()
      const png = await open.saveNextFile()
      await page.getByRole('button', { name: 'Save the picture' }).click()
      expect(
        readFileSync(await png.path)
          .subarray(1, 4)
          .toString(),
      ).toBe('PNG')
      await page.getByRole('combobox', { name: 'Picture' }).click()
      await page.getByRole('option', { name: /^SVG/ }).click()
      const svg = await open.saveNextFile()
      await page.getByRole('button', { name: 'Save the picture' }).click()
      expect(readFileSync(await svg.path, 'utf8')).toMatch(/<title>Wafer map of W01<\/title><rect .*1510\.5/)
      await page.getByRole('button', { name: 'Picture: Wafer map of W01' }).click()
    })

    test.runIf(door.name === 'browser')(
      'keys pressed while the next run is slow to come wait for its field',
      async () => {
        const { page } = open
        let slow = false
        await page.route('**/call', async (route) => {
          if (slow && route.request().postData()?.includes('bench.card'))
            await new Promise((done) => setTimeout(done, 1500))
          await route.continue()
        })
        for (let site = 2; site <= 8; site++) await page.locator(`#site-${site}`).fill(`151${site}`)
        await page.locator('#site-9').focus()
        await page.keyboard.type('1519')
        await page.keyboard.press('Enter')
        await expect.poll(() => page.evaluate(() => document.activeElement?.className)).toContain('next-run')
        await expect.poll(() => textsOf(open).then(([first]) => first?.length)).toBe(9)
        slow = true
        await page.keyboard.press('Enter')
        await page.keyboard.type('1601')
        await page.keyboard.press('Enter')
        await page.keyboard.type('16')
        await page.getByRole('heading', { level: 1, name: 'W02' }).waitFor()
        await expect.poll(() => focused(open)).toBe('site-2')
        await page.keyboard.type('02')
        await page.keyboard.press('Enter')
        slow = false
        await expect.poll(() => textsOf(open).then(([, second]) => second)).toEqual(['1: 1601', '2: 1602'])
      },
    )

    test.runIf(door.name === 'browser')(
      'what stands in a field stays with its run when another is chosen',
      async () => {
        const { page } = open
        await page.locator('#site-3').focus()
        await page.keyboard.type('1603')
        await page.evaluate(() => document.querySelector<HTMLButtonElement>('.next-run')?.click())
        await page.getByRole('heading', { level: 1, name: 'W03' }).waitFor()
        await expect.poll(() => textsOf(open).then(([, second]) => second?.at(-1))).toBe('3: 1603')
        expect((await textsOf(open))[2]).toEqual([])
      },
    )

    test('a correction that names its unit stands in the grid as a bare number', async () => {
      const { page } = open
      const { runs } = await open.call<{ runs: Runs }>('bench.readings', { studyId: open.studyId })
      const run = runs.at(-1) as Runs[number]
      const readings = [{ site: 1, repeat: 1, text: '936.9 nm' }]
      await open.call('bench.enterReadings', { runId: run.id, unit: 'nm', readings })
      await tab(open, 'All sites')
      const cell = page.locator(`[id^="cell-"]`, { hasText: '936.9' })
      await expect.poll(() => cell.textContent()).toMatch(/^936\.9(\s\?)?$/)
    })
  })
})

describe.each(browserFirst)('a long grid: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    beforeAll(async () => {
      const study = { name: 'Long', targetNm: 1500, siteMap: '49' }
      const long = { ...design, replicates: 100 }
      const factors = [{ ...speed, levels: 5 }]
      open = await openStudy(door, 'bench', { study, factors, design: long })
    })
    afterAll(() => open?.close())

    test('says its size and the place of each cell, and keeps the cell in hand while others are looked at', async () => {
      const { page } = open
      await tab(open, 'All sites')
      const grid = page.getByRole('grid', { name: 'Readings of all runs, in nm' })
      await grid.focus()
      const counts = () =>
        grid.evaluate((it) => [it.getAttribute('aria-rowcount'), it.getAttribute('aria-colcount')])
      expect(await counts()).toEqual(['501', '50'])
      const active = () =>
        grid.evaluate((it) => {
          const cell = document.getElementById(it.getAttribute('aria-activedescendant') ?? '')
          const row = cell?.closest('tr')?.getAttribute('aria-rowindex')
          return (
            cell && { row, column: cell.getAttribute('aria-colindex'), said: cell.getAttribute('aria-label') }
          )
        })
      await page.keyboard.press('Control+End')
      const last = { row: '501', column: '50', said: 'W500, site 49: no reading' }
      await expect.poll(active).toEqual(last)
      // Every row that is drawn stands where its number says, and there are few of them.
      const rows = () =>
        grid.evaluate((it) =>
          [...it.querySelectorAll('tbody tr[aria-rowindex]')].map((row) => ({
            index: Number(row.getAttribute('aria-rowindex')),
            top: Math.round(
              (row.getBoundingClientRect().top -
                (it.querySelector('thead')?.offsetHeight ?? 0) -
                it.getBoundingClientRect().top) /
                30,
            ),
            head: row.querySelector('th')?.textContent?.trim().split('-')[0],
          })),
        )
      const atEnd = await rows()
      expect(atEnd.length).toBeLessThanOrEqual(41)
      expect(atEnd.at(-1)).toEqual({ index: 501, top: 499, head: 'W500' })
      expect(atEnd.every(({ index, top }) => index === top + 2)).toBe(true)
      // Looked at the beginning with the wheel: the cell in hand is out of view, and still what keys act on.
      await grid.evaluate((it) => it.parentElement?.scrollTo(0, 0))
      await expect.poll(async () => (await rows())[0]?.index).toBe(2)
      expect(await active()).toEqual(last)
      expect((await rows()).every(({ index, top }) => index === top + 2)).toBe(true)
      await page.keyboard.type('1500')
      await page.keyboard.press('Escape')
      await page.keyboard.press('ArrowUp')
      await expect.poll(active).toMatchObject({ row: '500', column: '50' })
    })

    // Ten seconds: for the long count.
    test.runIf(process.env.EVENFILM_TEST_LONG)(
      'axe finds nothing in its roles, names and keys at the last run',
      async () => {
        const { page } = open
        await page.evaluate(axe)
        await page.getByRole('grid').focus()
        await page.keyboard.press('Control+End')
        const found = await page.evaluate(async () => {
          type Axe = { run(part: Element | null, options: RunOptions): Promise<AxeResults> }
          const { axe } = window as unknown as { axe: Axe }
          // Colours are held elsewhere, and take long for two thousand cells.
          const values = ['cat.aria', 'cat.tables', 'cat.keyboard', 'cat.name-role-value']
          const options: RunOptions = { runOnly: { type: 'tag', values }, resultTypes: ['violations'] }
          const { violations } = await axe.run(document.querySelector('main'), options)
          return violations.map(({ id, nodes }) => `${id} at ${nodes[0]?.target}`)
        })
        expect(found).toEqual([])
      },
    )
  })
})
