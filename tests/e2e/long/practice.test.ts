import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Run, Study } from '../../../shared/contract/things.ts'
import { design, speed, time } from '../../engine/studies-for-tests.ts'
import { browserFirst, type Door } from '../helpers/doors.ts'
import { shot } from '../helpers/shots.ts'
import { openStudy, type StudyOpen, showScreen } from '../helpers/study.ts'

/** A saved plan is practised by keyboard from the bench to the next run, and its maps are laid side by side. */
describe.each(browserFirst)('a whole study is practised: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    let page: Page
    let studyId: string
    const runs = () => open.call<(Run & { readings: number })[]>('bench.runs', { studyId })
    const press = async (name: string | RegExp) => {
      await page.getByRole('button', { name }).focus()
      await page.keyboard.press('Enter')
    }

    beforeAll(async () => {
      const study = { name: 'Planned', targetNm: 1500, toleranceNm: 30, lots: ['A'] }
      open = await openStudy(door, 'plan', { study, factors: [speed, time], design })
      page = open.page
    })
    afterAll(() => open?.close())

    test('a copy opens at the bench, marked as practice; a coated run is read and stays in hand', async () => {
      await press('Practise the whole study')
      await page.getByText('Practice, simulated film').waitFor()
      await page.getByText(/this run has its readings from an invented film/).waitFor()
      studyId = await page.evaluate(() => location.hash.split('/')[1] ?? '')
      expect(await open.call<Study>('studies.get', { studyId })).toMatchObject({ simulated: true })
      await press('Coated: go on to the readings')
      await page.getByRole('img', { name: '9 of 9 sites read' }).waitFor()
      await page.getByRole('heading', { name: /^W01/ }).waitFor()
      expect((await runs()).map(({ readings }) => readings)).toEqual([9, 0, 0, 0, 0, 0])
      await shot(page, 'practice-read')
    })

    test('once all are coated the curve and the next run are there', async () => {
      for (const { id, state } of await runs())
        if (state === 'planned')
          await open.call('bench.updateRun', { runId: id, change: { state: 'coated' } })
      expect((await runs()).every(({ state }) => state === 'measured')).toBe(true)
      for (const screen of ['curves', 'next']) {
        await showScreen(page, screen, studyId)
        await page
          .getByText(screen === 'curves' ? /R²|residual/i : /chance/i)
          .first()
          .waitFor()
      }
    })

    test('maps of chosen runs stand side by side on one scale, by the field and by the marks of the table', async () => {
      await showScreen(page, 'bench', studyId)
      await page.getByRole('tab', { name: 'All runs' }).click()
      const field = page.getByLabel('Wafer maps side by side of the runs')
      await field.fill('W01, W9')
      await field.press('Enter')
      await page.getByText('No run here bears the code ‘W9’.').waitFor()
      await field.fill('W01, W03–W04')
      await field.press('Enter')
      const maps = page.getByRole('region', { name: 'Wafer maps side by side' })
      await maps
        .getByRole('img', { name: /9 of 9 sites read/ })
        .nth(2)
        .waitFor()
      expect(await maps.getByRole('img', { name: /Thickness of all maps/ }).count()).toBe(1)
      await shot(page, 'maps')
      await page.getByRole('checkbox', { name: 'Map of W06' }).focus()
      await page.keyboard.press('Space')
      await expect.poll(() => maps.getByRole('listitem').count()).toBe(4)
      expect(await field.inputValue()).toBe('W01, W03, W04, W06')
      await press('Take away the map of W03')
      await expect.poll(() => maps.getByRole('listitem').count()).toBe(3)
      await press('Take W04 in hand')
      await page.getByRole('heading', { name: /^W04/ }).waitFor()
    })

    test('the page has complained of nothing', () => {
      expect(open.complaints).toEqual([])
    })
  })
})
