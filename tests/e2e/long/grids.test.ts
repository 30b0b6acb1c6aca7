import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { design, speed } from '../../engine/studies-for-tests.ts'
import { browserFirst, type Door } from '../helpers/doors.ts'
import { openStudy, type StudyOpen } from '../helpers/study.ts'

/** Where the keys go: after a coat, in the grids of readings, and while a dialog lies over them. */
describe.each(browserFirst)('keys of the grids: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    type Runs = { readings: { site: number; repeat: number; text: string }[] }[]
    const texts = async (run: number) => {
      const { runs } = await open.call<{ runs: Runs }>('bench.readings', { studyId: open.studyId })
      return runs[run]?.readings.map(({ site, repeat, text }) => `${site}/${repeat} ${text}`).sort()
    }
    const focused = () =>
      open.page.evaluate(() => {
        const it = document.activeElement
        return it?.id || it?.getAttribute('aria-label') || it?.textContent?.trim()
      })
    const type = async (...given: string[]) => {
      for (const text of given) {
        await open.page.keyboard.type(text)
        await open.page.keyboard.press('Enter')
      }
    }
    const paste = (text: string) =>
      open.page.evaluate((given) => {
        const data = new DataTransfer()
        data.setData('text/plain', given)
        const event = new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true })
        document.querySelector('[role=grid]')?.dispatchEvent(event)
      }, text)
    const choose = async (label: string, option: string) => {
      await open.page.getByRole('combobox', { name: label }).click()
      await open.page.getByRole('option', { name: option, exact: true }).click()
    }

    beforeAll(async () => {
      const study = { name: 'Grids', targetNm: 1500, siteMap: '5' }
      open = await openStudy(door, 'bench', { study, factors: [speed], design })
    })
    afterAll(() => open?.close())

    test('once coated, the first site has the cursor and the name of the run is in view', async () => {
      const { page } = open
      await page.getByRole('button', { name: 'Coated: go on to the readings' }).click()
      await expect.poll(focused).toBe('site-1')
      const inView = (it: Element) => {
        const { top, bottom } = it.getBoundingClientRect()
        return top >= 0 && bottom <= window.innerHeight
      }
      expect(await page.getByRole('heading', { level: 1 }).evaluate(inView)).toBe(true)
      expect(await page.locator('#site-1').evaluate(inView)).toBe(true)
    })

    test('from the tab Read the fields are a few Tabs away', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'Read' }).focus()
      await page.keyboard.press('Tab')
      await page.keyboard.press('Tab')
      expect(await focused()).toBe('Go to the readings')
      await page.keyboard.press('Enter')
      expect(await focused()).toBe('site-1')
    })

    test('repeats go on to the next column, and beyond the last one nothing is replaced', async () => {
      const { page } = open
      await choose('Readings a site', '2')
      await page.getByRole('grid').focus()
      await type('1501', '1502', '1503', '1504', '1505', '1511', '1512', '1513', '1514', '1515')
      const all = ['1/1 1501', '1/2 1511', '2/1 1502', '2/2 1512', '3/1 1503', '3/2 1513']
      const rest = ['4/1 1504', '4/2 1514', '5/1 1505', '5/2 1515']
      await expect.poll(() => texts(0)).toEqual([...all, ...rest])
      expect(await focused()).toBe('Next run')
      await page.getByRole('grid').focus()
      await page.keyboard.type('1599')
      await page.getByText(/This is the end of the grid/).waitFor()
      await page.keyboard.press('Enter')
      expect(await texts(0)).toEqual([...all, ...rest])
    })

    test('what is no number stays in its cell with the reason, until it is corrected or left', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'All sites' }).click()
      await page.getByRole('grid').focus()
      await page.keyboard.press('ArrowDown')
      await type('abc')
      await page.getByText(/‘abc’ is no number\./).waitFor()
      const field = page.getByRole('grid').getByRole('textbox')
      expect(await field.inputValue()).toBe('abc')
      expect(await field.getAttribute('aria-invalid')).toBe('true')
      await page.locator('#cell-2-2').click()
      expect(await field.inputValue()).toBe('abc')
      expect(await page.getByRole('grid').getAttribute('aria-activedescendant')).toBe('cell-1-0')
      await field.fill('1490')
      await page.locator('#cell-2-2').click()
      await expect.poll(() => texts(1)).toEqual(['1/1 1490'])
      expect(await page.getByRole('grid').getAttribute('aria-activedescendant')).toBe('cell-2-2')
    })

    test('a paste over readings is shown with what is odd; its safe action has the cursor', async () => {
      const { page } = open
      await page.locator('#cell-1-0').click()
      await paste('1302\t1303\t1,3\t1305\t1306\n')
      await page.getByText('supersedes 1490.').waitFor()
      await page.getByText(/Was it read in µm\? ‘1,3’ µm is 1300 nm/).waitFor()
      await page.getByText('1 of 5 looks odd').waitFor()
      expect(await focused()).toBe('Cancel')
    })

    test('undo and redo stop at an open dialog', async () => {
      const { page } = open
      await page.keyboard.press('Control+z')
      await page.keyboard.press('Control+y')
      await page.keyboard.press('Escape')
      await expect.poll(() => page.getByRole('dialog').count()).toBe(0)
      expect(await texts(1)).toEqual(['1/1 1490'])
      await page.getByRole('grid').focus()
      await page.keyboard.press('Control+z')
      await expect.poll(() => texts(1)).toEqual([])
    })

    test('a dialog opens in its first field', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'Read' }).click()
      await page.getByRole('button', { name: 'Next run' }).click()
      await page.getByRole('heading', { level: 1, name: /W02/ }).waitFor()
      await choose('Readings a site', '1')
      await page.getByRole('button', { name: 'Paste a column…' }).click()
      await page.keyboard.type('1302')
      expect(await page.getByLabel('Pasted numbers').inputValue()).toBe('1302')
    })
  })
})
