import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Run } from '../../shared/contract/things.ts'
import { seeded } from '../../shared/random.ts'
import { browserFirst, type Door } from '../e2e/helpers/doors.ts'
import { shot } from '../e2e/helpers/shots.ts'
import { openStudy, type StudyOpen, showScreen } from '../e2e/helpers/study.ts'
import { bake, design, speed, time } from '../engine/studies-for-tests.ts'

/** What goes wrong is named: a film that has drifted, a slip and a mix-up in a study, a lot that is no longer the same. */
describe.each(browserFirst)('what is odd is named: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    let page: Page
    const tab = (name: string) => page.getByRole('tab', { name, exact: true }).click()
    const runsOf = (studyId: string) => open.call<Run[]>('bench.runs', { studyId })
    /** Types nine readings about a mean into the map in hand. */
    const typeMap = async (mean: number) => {
      await tab('Read')
      await page.getByLabel('Site 1', { exact: true }).focus()
      for (let site = 0; site < 9; site++) {
        await page.keyboard.type(String(mean + (site % 3)))
        await page.keyboard.press('Enter')
      }
      await page.getByRole('img', { name: '9 of 9 sites read' }).waitFor()
    }

    beforeAll(async () => {
      open = await openStudy(door, 'lots', 'demo')
      page = open.page
    })
    afterAll(() => open?.close())

    test('a monitor run of a kept recipe is planned and typed; the rule that it breaks is named', async () => {
      await tab('Drift')
      await page.getByRole('button', { name: 'Plan a monitor run' }).click()
      await page.getByRole('button', { name: /waits on Bench/ }).click()
      await typeMap(1620)
      await showScreen(page, 'lots', open.studyId)
      await tab('Drift')
      const said = page.getByRole('region', { name: 'What the charts say' }).first()
      await said.getByText(/Reading 25: .*above the centre/).waitFor()
      await shot(page, 'drift-alarm')
    })

    test('an event is noted, and the charts reckon from it', async () => {
      const events = page.getByRole('region', { name: 'Events' }).first()
      await events.getByLabel('Remark').fill('another bottle')
      await events.getByRole('button', { name: 'Note it' }).click()
      await events.getByText(/another bottle \(before reading 26\)/).waitFor()
    })

    test('the check of a new lot is planned and typed, and the decision signed', async () => {
      await tab('Lots')
      await page.getByLabel('Margin that still counts as equal, ±').fill('3')
      await page.getByLabel('New lot').fill('C')
      await page.getByLabel('Wafers of each').fill('2')
      await page.getByRole('button', { name: 'Add the runs to the plan' }).click()
      const planned = async () => (await runsOf(open.studyId)).filter(({ state }) => state === 'planned')
      await expect.poll(async () => (await planned()).length).toBe(4)
      const runs = await planned()
      for (const { id, lot } of [true, false].flatMap(
        (isNew) => runs.find((run) => (run.lot === 'C') === isNew) ?? [],
      )) {
        await page.evaluate((hash) => {
          location.hash = hash
        }, `bench/${open.studyId}/${id}`)
        await typeMap(lot === 'C' ? 1480 : 1499)
      }
      for (const { id, lot } of await planned())
        await open.call('bench.enterReadings', {
          runId: id,
          unit: 'nm',
          readings: Array.from({ length: 9 }, (_, i) => ({
            site: i + 1,
            text: lot === 'C' ? '1482' : '1503',
          })),
        })
      await showScreen(page, 'lots', open.studyId)
      const signing = page.getByRole('region', { name: 'Decide and sign' })
      await signing.getByRole('combobox', { name: 'Lot' }).click()
      await page.getByRole('option', { name: /^C/ }).click()
      await signing.getByLabel('Signed by').fill('Shift lead')
      await signing.getByLabel('Reason').fill('thinner than the margin allows')
      // Nothing is decided until a person chooses.
      expect(await signing.getByRole('button', { name: 'Sign the decision' }).isDisabled()).toBe(true)
      await signing.getByRole('combobox', { name: 'Decision' }).click()
      await page.getByRole('option', { name: 'Do not use' }).click()
      await signing.getByRole('button', { name: 'Sign the decision' }).click()
      const signed = signing.getByRole('table', { name: /Signed decisions/ })
      await signed.getByRole('row', { name: /C .*Shift lead/ }).waitFor()
    })

    test('a typed slip and two wafers exchanged are both named among the doubts', async () => {
      const study = { name: 'Doubtful', targetNm: 1500, toleranceNm: 30, siteMap: '5' }
      const { studyId } = await open.call<{ studyId: string }>('studies.create', { study })
      await open.call('plans.save', {
        studyId,
        factors: [speed, time, bake],
        design: { ...design, replicates: 2 },
      })
      const noise = seeded(4)
      const films = (await runsOf(studyId)).map(({ id, code, settings }) => {
        const smooth =
          1500 *
          (Number(settings.speed) / 3000) ** -0.5 *
          (1 - 0.001 * (Number(settings.time) - 40)) *
          (1 - 0.003 * (Number(settings.bake) - 100))
        return { id, code, settings, nm: smooth * (1 + 0.002 * noise.normal()) }
      })
      // Neighbours that differ, later than the slip.
      const first = films.findIndex(
        ({ nm }, i) => i > 6 && Math.abs(Math.log(nm / (films[i + 1]?.nm ?? nm))) > 0.1,
      )
      const pair = [films[first], films[first + 1]] as typeof films
      const slip = 3
      const readings = (nm: number) => [1, 2, 3, 4, 5].map((site) => ({ site, text: nm.toFixed(1) }))
      await open.call('bench.enterBlock', {
        studyId,
        unit: 'nm',
        runs: films.flatMap(({ id, nm }, i) => (i === slip ? [] : [{ runId: id, readings: readings(nm) }])),
      })
      const type = async (row: number, nm: number) => {
        for (let site = 0; site < 5; site++) {
          await page.locator(`#cell-${row}-${site}`).click()
          await page.keyboard.type(nm.toFixed(1))
          await page.keyboard.press('Enter')
        }
        await expect
          .poll(
            async () =>
              (await open.call<{ film: { mean: number } | null }[]>('bench.runs', { studyId }))[row]?.film
                ?.mean,
          )
          .toBeCloseTo(Number(nm.toFixed(1)), 6)
      }
      const doubts = page.getByRole('tabpanel', { name: 'What to doubt' })
      const look = async () => {
        await showScreen(page, 'curves', studyId)
        await tab('What to doubt')
      }
      const grid = async () => {
        await showScreen(page, 'bench', studyId)
        await tab('All sites')
      }
      await grid()
      await type(slip, 1.2 * (films[slip]?.nm ?? 0))
      await look()
      await doubts
        .getByText(new RegExp(`${films[slip]?.code}\\b`))
        .first()
        .waitFor()
      await grid()
      await type(slip, films[slip]?.nm ?? 0)
      await type(first, pair[1]?.nm ?? 0)
      await type(first + 1, pair[0]?.nm ?? 0)
      await look()
      await doubts
        .getByText(new RegExp(`${pair[0]?.code} and ${pair[1]?.code}`))
        .first()
        .waitFor()
      await shot(page, 'doubts-named')
      expect(open.complaints).toEqual([])
    }, 120_000)
  })
})
