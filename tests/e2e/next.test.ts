import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Run } from '../../shared/contract/things.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { keyboard } from './helpers/hands.ts'
import { shot } from './helpers/shots.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** From the recipe to the verdict of its confirmation, by the keyboard alone. */
describe.each(browserFirst)('a recipe is proven by keyboard: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    let page: Page
    const confirmations = async () =>
      (await open.call<Run[]>('bench.runs', { studyId: open.studyId })).filter(
        ({ kind, state }) => kind === 'confirmation' && state === 'planned',
      )
    const press = (name: RegExp) => keyboard(page).press(name)

    beforeAll(async () => {
      open = await openStudy(door, 'next', 'demo')
      page = open.page
    })
    afterAll(() => open?.close())

    test('the recipe is found with what each setting may move, and its film beside measured ones', async () => {
      await page.getByRole('table', { name: /What each setting alone may move/ }).waitFor({ timeout: 55_000 })
      const maps = page.getByRole('region', { name: 'The predicted film beside measured ones' })
      await expect.poll(() => maps.getByRole('listitem').count()).toBe(3)
      await maps.getByText('Predicted').waitFor()
    })

    test('its confirmation is planned, and what it is held to is written down', async () => {
      await press(/^Plan the confirmation/)
      const days = page.getByLabel('Days', { exact: true })
      await expect.poll(() => days.evaluate((it) => it === document.activeElement)).toBe(true)
      await page.keyboard.press('Control+a')
      await page.keyboard.type('2')
      await page.keyboard.press('Tab')
      await page.keyboard.press('Enter')
      const one = page.getByRole('option', { name: '1', exact: true })
      await one.waitFor()
      await page.keyboard.press('Home')
      await expect.poll(() => one.evaluate((it) => it === document.activeElement)).toBe(true)
      await page.keyboard.press('Enter')
      await page.getByText(/^2 wafers\. All of them good would show/).waitFor()
      await press(/^Add to the plan$/)
      await page.getByRole('region', { name: /^Confirmation planned/ }).waitFor()
      expect(await confirmations()).toHaveLength(2)
    })

    test('its wafers are coated and read at the bench, each in a session of its own', async () => {
      await press(/^Bench/)
      const [first, second] = await confirmations()
      expect(new Set([first?.session, second?.session]).size).toBe(2)
      const typeMap = async () => {
        for (let site = 0; site < 9; site++) {
          await page.keyboard.type(String(1500 + (site % 3)))
          await page.keyboard.press('Enter')
        }
      }
      await page.getByRole('heading', { level: 1, name: new RegExp(`^${first?.code}`) }).waitFor()
      await press(/^Coated: go on to the readings/)
      await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe('site-1')
      await typeMap()
      // Once the last site is typed, the cursor waits on ‘Next run’.
      await expect.poll(async () => (await confirmations()).length).toBe(1)
      await page.keyboard.press('Enter')
      await page.getByRole('heading', { level: 1, name: new RegExp(`^${second?.code}`) }).waitFor()
      // Enter there takes up the next run at its first unread site: a number typed at once is not lost.
      await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe('site-1')
      await typeMap()
      await expect.poll(confirmations).toEqual([])
    })

    test('the verdict, the interval for release and the ledger are there', async () => {
      await press(/^Next(?! run)/)
      const confirmation = page.getByRole('region', { name: /^Confirmation planned/ })
      await confirmation.getByText('✓ Passed').waitFor()
      await confirmation.getByText('95 % of all wafers, for release').waitFor()
      const ledger = page.getByRole('table', { name: 'Predictions and what was measured' })
      await ledger.getByRole('row').nth(1).getByText('✓ within').waitFor()
      await shot(page, `next-proven-${door.name.replaceAll(' ', '-')}`)
      expect(open.complaints).toEqual([])
    })
  })
})
