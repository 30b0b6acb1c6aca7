import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { design, speed } from '../engine/studies-for-tests.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** Readings by keyboard alone: a whole map, a questioned value and its correction, a pasted block, undo. */
describe.each(browserFirst)('readings are typed and pasted: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    type Runs = { code: string; readings: { site: number; text: string; value: number }[] }[]
    const readings = async () =>
      (await open.call<{ runs: Runs }>('bench.readings', { studyId: open.studyId })).runs
    const values = async (run: number) => (await readings())[run]?.readings.map(({ value }) => value)

    beforeAll(async () => {
      const study = { name: 'Readings', targetNm: 1500 }
      open = await openStudy(door, 'bench', { study, factors: [speed], design })
    })
    afterAll(() => open?.close())

    test('a full map by Enter alone; a slip of the unit is asked about and corrected by its button', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'Read' }).click()
      await page.getByLabel('Site 1', { exact: true }).focus()
      for (const text of ['1500', '1501', '1502', '1503', '1.504', '1505', '1506', '1507', '1508']) {
        await page.keyboard.type(text)
        await page.keyboard.press('Enter')
      }
      await page.getByText('Was it read in µm? ‘1.504’ µm is 1504 nm.').waitFor()
      expect((await values(0))?.[4]).toBe(1.504)
      await page.getByRole('button', { name: 'Enter 1.504 µm instead' }).click()
      await expect.poll(async () => (await values(0))?.[4]).toBe(1504)
      await expect.poll(() => page.getByText('Was it read in µm?').count()).toBe(0)
    })

    test('Ctrl Z in a field takes back its own typing first, and the last step where nothing is typed', async () => {
      const { page } = open
      const field = page.getByLabel('Site 5', { exact: true })
      await field.focus()
      await page.keyboard.type('1')
      await page.getByText(/Not saved yet. Enter supersedes/).waitFor()
      expect(await page.getByRole('img', { name: /1 of them not saved yet/ }).count()).toBe(1)
      await page.keyboard.press('Control+z')
      await page.keyboard.press('Escape')
      expect((await values(0))?.[4]).toBe(1504)
      await page.keyboard.press('Control+z')
      await expect.poll(async () => (await values(0))?.[4]).toBe(1.504)
      await page.keyboard.press('Control+Shift+z')
      await expect.poll(async () => (await values(0))?.[4]).toBe(1504)
      expect(await field.evaluate((it) => it === document.activeElement)).toBe(true)
    })

    test('in the grid a number goes in by Enter, and Delete and Ctrl Z take it away and bring it back', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'All sites' }).click()
      await page.getByRole('grid').focus()
      await page.keyboard.press('ArrowDown')
      await page.keyboard.type('1490,5')
      await page.keyboard.press('Enter')
      await expect.poll(() => values(1)).toEqual([1490.5])
      // Only what the page knows to be kept can be taken away.
      await page.getByRole('grid').locator('.pending').first().waitFor({ state: 'detached' })
      await page.keyboard.press('ArrowUp')
      await page.keyboard.press('Delete')
      await expect.poll(() => values(1)).toEqual([])
      await page.keyboard.press('Control+z')
      await expect.poll(() => values(1)).toEqual([1490.5])
    })

    test('a block over two runs is shown before it is taken, and is one step of undo', async () => {
      const { page } = open
      await page.evaluate(() => {
        const data = new DataTransfer()
        data.setData('text/plain', '1480\t1481\n1470\t1471\n')
        const event = new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true })
        document.querySelector('[role=grid]')?.dispatchEvent(event)
      })
      await page.getByText('supersedes 1490,5').waitFor()
      expect(await values(2)).toEqual([])
      await page.getByRole('button', { name: 'Take 4 readings' }).click()
      await expect.poll(() => values(2)).toEqual([1470, 1471])
      expect(await values(1)).toEqual([1480, 1481])
      await page.getByRole('grid').focus()
      await page.keyboard.press('Control+z')
      await expect.poll(() => values(2)).toEqual([])
      expect(await values(1)).toEqual([1490.5])
    })
  })
})
