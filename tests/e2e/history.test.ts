import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { settled } from '../../build/shots/walk.js'
import { axe, brokenRules } from './helpers/axe.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { openStudy, type StudyOpen, showScreen } from './helpers/study.ts'

describe.each(browserFirst)('the history: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    beforeAll(async () => {
      open = await openStudy(door, 'bench', 'demo')
      await open.page.evaluate(axe)
    })
    afterAll(() => open?.close())

    test('opens beside the work by a key, tells what is done meanwhile, and gives the cursor back', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'Coat' }).click()
      await page.keyboard.press('h')
      const history = page.getByRole('complementary', { name: 'History' })
      await history.getByRole('article').first().waitFor()
      await settled(page)
      expect(await brokenRules(page)).toEqual([])
      const note = page.getByLabel('Note (lid open')
      await note.fill('edge chipped')
      await note.blur()
      await history
        .getByText('note: nothing → to edge chipped')
        .or(history.getByText('edge chipped'))
        .waitFor()
      await history.getByRole('button', { name: 'Close' }).focus()
      await page.keyboard.press('Escape')
      expect(await history.count()).toBe(0)
      await page.getByRole('button', { name: 'History of this run' }).click()
      await page.getByRole('heading', { name: /^History of W\d+/ }).waitFor()
      expect(await history.getByRole('article').first().textContent()).toContain('edge chipped')
      await page.keyboard.press('Escape')
      await expect
        .poll(() => page.evaluate(() => document.activeElement?.textContent?.trim()))
        .toBe('History of this run')
    })

    test('a new study that is taken back leaves the list without a complaint, and can be made again', async () => {
      const { page } = open
      await showScreen(page, 'studies', open.studyId)
      await page.getByRole('button', { name: 'New study' }).click()
      await page.getByLabel('Name').first().fill('Trial film')
      await page.getByRole('button', { name: 'Create the study' }).click()
      await page.getByRole('button', { name: 'Undo: made the study ‘Trial film’' }).click()
      await page.getByText('Taken back: Made the study ‘Trial film’').first().waitFor()
      await page.getByRole('heading', { name: 'Studies', exact: true }).waitFor()
      expect(await page.getByText('There is no such study').count()).toBe(0)
      await page.getByRole('button', { name: 'Redo: made the study ‘Trial film’' }).click()
      await page.getByRole('row', { name: /Trial film/ }).waitFor()
    })
  })
})
