import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { computedTrace } from '../../unit/film/computed-trace.ts'
import { browserFirst, type Door } from '../helpers/doors.ts'
import { shot } from '../helpers/shots.ts'
import { openStudy, type StudyOpen } from '../helpers/study.ts'

/** Two scans over a scratch of known depth; computed, not measured. */
const files = [1500, 1503].map((depth, i) => ({
  name: `scan ${i + 1}.txt`,
  text: [
    'Stylus force;3 mg',
    'Lateral (µm);Profile (nm)',
    ...computedTrace({ step: -depth, edges: [500, 700], noise: 4, tilt: 0.5, spacing: 1, seed: i + 1 }).map(
      ({ position, height }) => `${position};${height.toFixed(2)}`,
    ),
  ].join('\r\n'),
}))

describe.each(browserFirst)('traces at the bench: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    let page: Page
    let runId: string
    const readings = async () =>
      (await open.call<{ readings: { site: number; value: number }[] }>('bench.card', { runId })).readings

    beforeAll(async () => {
      open = await openStudy(door, 'bench', { study: { name: 'Scratched', targetNm: 1500, toleranceNm: 30 } })
      const { studyId, call } = open
      page = open.page
      const csv = 'run,speed (rpm)\nW01,3000\n'
      await call('imports.commit', { studyId, fileName: 'runs.csv', text: csv })
      const [run] = await call<{ id: string }[]>('bench.runs', { studyId })
      runId = run?.id as string
      await page.getByRole('tab', { name: 'Traces' }).click()
    })
    afterAll(async () => {
      await open?.close()
    })

    test('scans are imported and evaluated', async () => {
      const paths = files.map(({ name }) => join(open.folder, name))
      for (const [i, path] of paths.entries()) await writeFile(path, files[i]?.text ?? '')
      await page.locator('input[type=file]').setInputFiles(paths)
      await page.getByText('Mean of site 1, 2 scans').waitFor()
      await page.getByRole('slider', { name: 'Left edge' }).waitFor()
      await page.getByText('without the calibration of the instrument').waitFor()
      await shot(page, 'traces')
    })

    test('a cursor moves by keys, by its field and by the mouse, and the height follows', async () => {
      const left = page.getByRole('slider', { name: 'Left edge' })
      const at = async () => Number(await left.getAttribute('aria-valuenow'))
      const start = await at()
      await left.focus()
      await page.keyboard.press('ArrowRight')
      await expect.poll(at).toBe(start + 1)
      await page.keyboard.press('Shift+ArrowRight')
      await expect.poll(at).toBe(start + 11)
      const field = page.getByLabel('Left edge at')
      expect(await field.inputValue()).toBe(String(start + 11))
      const stepShown = () => page.locator('section[aria-label="Step height"] dd').first().textContent()
      const before = await stepShown()
      await field.fill('600')
      await expect.poll(at).toBe(600)
      await expect.poll(stepShown).not.toBe(before)
      const box = await left.boundingBox()
      if (!box) throw new Error('no cursor')
      await page.mouse.move(box.x + box.width / 2, box.y + 20)
      await page.mouse.down()
      await page.mouse.move(box.x + box.width / 2 - 40, box.y + 20, { steps: 5 })
      await page.mouse.up()
      await expect.poll(at).toBeLessThan(590)
      await field.fill('510')
      await expect.poll(at).toBe(510)
    })

    test('the height is kept as the reading of the site, and undone', async () => {
      await page.getByRole('button', { name: 'Keep as the reading of site 1' }).click()
      await expect.poll(async () => (await readings()).length).toBe(1)
      const [reading] = await readings()
      expect(reading?.site).toBe(1)
      expect(Math.abs((reading?.value ?? 0) - 1501.5)).toBeLessThan(4)
      await page.getByText('Kept as a reading:').waitFor()
      const { scans } = await open.call<{ scans: { regions: unknown }[] }>('traces.list', { runId })
      expect(scans[0]?.regions).toMatchObject({ kind: 'step', edges: [510, expect.any(Number)] })
      await page.getByRole('button', { name: /^Undo/ }).first().click()
      await expect.poll(async () => (await readings()).length).toBe(0)
    })

    test('a scan is left out with a reason', async () => {
      await page.getByRole('button', { name: 'Leave out scan 2.txt' }).click()
      await page.getByLabel('Reason').fill('the stylus jumped')
      await page.getByRole('button', { name: 'Leave it out' }).click()
      await page.getByText('Mean of site 1, 1 scan').waitFor()
      await page.getByText('left out: the stylus jumped').waitFor()
    })

    test('a file without units and with a doubtful comma is settled by hand, beside its raw lines', async () => {
      const heights = Array.from({ length: 60 }, (_, i) => (i > 20 && i < 40 ? '3,510' : '2,000'))
      const path = join(open.folder, 'bare.txt')
      await writeFile(path, heights.map((height, i) => `${i};${height}`).join('\n'))
      await page.locator('input[type=file]').setInputFiles(path)
      const settings = page.getByRole('region', { name: 'How the files are read' })
      await settings.getByText(/‘2,000’/).waitFor()
      const bringIn = settings.getByRole('button', { name: 'Bring in 1 trace read so' })
      expect(await bringIn.isDisabled()).toBe(true)
      const pick = async (label: string, option: string) => {
        await settings.getByRole('combobox', { name: label }).focus()
        await page.keyboard.press('Enter')
        await page.getByRole('option', { name: option, exact: true }).click()
      }
      await pick('Decimal sign of the files', 'comma (1530,6)')
      await settings.getByText('names no unit of').waitFor()
      await pick('Unit of position', 'µm')
      await pick('Unit of height', 'µm')
      await expect.poll(() => settings.getByText('names no unit of').count()).toBe(0)
      await shot(page, 'traces-settled')
      await bringIn.click()
      await page.getByText('Imported bare.txt.', { exact: true }).waitFor()
      const { scans } = await open.call<{ scans: { name: string; found: { step: number } }[] }>(
        'traces.list',
        {
          runId,
        },
      )
      expect(scans.find(({ name }) => name === 'bare.txt')?.found.step).toBeCloseTo(1510, 3)
    })

    test('the page has complained of nothing', () => {
      expect(open.complaints).toEqual([])
    })
  })
})
