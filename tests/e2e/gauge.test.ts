import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { browserFirst, type Door, type OpenDoor } from './helpers/doors.ts'
import { callerOn, complaintsOf, showScreen } from './helpers/study.ts'

describe.each(browserFirst)('a gauge study at the bench: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: OpenDoor
    let page: Page
    let call: ReturnType<typeof callerOn>
    let complaints: string[]
    const openTab = () => page.getByRole('tab', { name: 'Gauge', exact: true }).click()
    const fields = () => page.getByRole('table', { name: /in the order of the work/ }).getByRole('textbox')

    beforeAll(async () => {
      open = await door.open()
      page = open.page
      call = callerOn(page)
      complaints = complaintsOf(page)
      const { id } = await call<{ id: string }>('tools.saveGauge', { gauge: { name: 'Reflectometer' } })
      const { studyId } = await call<{ studyId: string }>('studies.create', {
        study: { name: 'Film', targetNm: 1500, toleranceNm: 30, gaugeId: id },
      })
      await showScreen(page, 'bench', studyId)
      await openTab()
    })
    afterAll(async () => {
      await open?.close()
    })

    test('it is started, typed, interrupted and taken up again', async () => {
      await page.getByLabel('Loadings of each wafer').fill('2')
      await page.getByLabel('Scans at each loading').fill('1')
      await page.getByText('4 readings, about 4 minutes.').waitFor()
      await page.getByRole('button', { name: 'Start the gauge study' }).click()
      await fields().first().fill('1500')
      await fields().first().press('Enter')
      await page.keyboard.type('1530,5')
      await page.keyboard.press('Enter')
      await page.getByText(/2 of 4 readings/).waitFor()
      await page.reload()
      await openTab()
      await page.getByText(/2 of 4 readings/).waitFor()
      expect(await fields().nth(1).inputValue()).toBe('1530,5')
      expect(await fields().nth(2).inputValue()).toBe('')
    })

    test('what is no number stays in its field, and is said with its place', async () => {
      await fields().nth(2).fill('12..5')
      await fields().nth(2).press('Enter')
      await page.getByText(/loading 2, scan 1: ‘12..5’ is no number/).waitFor()
      expect(await fields().nth(2).inputValue()).toBe('12..5')
      expect(await fields().nth(2).getAttribute('aria-invalid')).toBe('true')
    })

    test('its result is said and goes into the gauge', async () => {
      for (const row of [2, 3]) {
        const wafer = await fields().nth(row).getAttribute('aria-label')
        const first = await fields().nth(0).getAttribute('aria-label')
        const same = wafer?.slice(0, 7) === first?.slice(0, 7)
        await fields()
          .nth(row)
          .fill(same ? '1501.2' : '1529.7')
        await fields().nth(row).press('Enter')
      }
      await page.getByText('Every reading is there.').waitFor()
      await page.getByText(/^This gauge takes/).waitFor()
      await page.getByRole('button', { name: 'Use for this gauge from now on' }).click()
      await page.getByText(/In use: .*reload .*gauge study of .*2 degrees of freedom/).waitFor()
      const { gauges } = await call<{ gauges: { reload: number }[] }>('tools.list', {})
      // Differences of 1.2 and 0.8 nm: the mean of their squares over two.
      expect(gauges[0]?.reload).toBeCloseTo(Math.sqrt((1.2 ** 2 + 0.8 ** 2) / 4), 9)
    })

    test('a check standard is logged by the keyboard', async () => {
      await page.getByRole('tab', { name: 'Check standard' }).click()
      await page.getByRole('button', { name: 'New check standard…' }).click()
      await page.getByLabel('Name').fill('Step')
      await page.getByLabel('Certified value').fill('500')
      await page.getByRole('button', { name: 'Save', exact: true }).click()
      const reading = page.getByLabel(/^Reading/)
      for (const value of ['501', '502']) {
        await reading.fill(value)
        await reading.press('Enter')
        await expect.poll(() => reading.inputValue()).toBe('')
      }
      await page.getByText(/It reads 1.5 nm more than certified/).waitFor()
      expect(complaints).toEqual([])
    })
  })
})
