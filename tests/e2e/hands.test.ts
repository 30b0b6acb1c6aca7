import { readFile } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { settled } from '../../build/shots/walk.js'
import type { Run } from '../../shared/contract/things.ts'
import { axe, brokenRules } from './helpers/axe.ts'
import { browserFirst, type Door, type OpenDoor } from './helpers/doors.ts'
import { type Hand, keyboard, mouse } from './helpers/hands.ts'
import { callerOn, complaintsOf } from './helpers/study.ts'

/**
 * From a new study to its report by the keyboard alone, and by the mouse alone; nothing on the way breaks a rule of
 * accessibility. The short count goes by the keyboard and types the first film; the mouse, the window and every film are
 * for the long count.
 */
const long = Boolean(process.env.EVENFILM_TEST_LONG)
const journeys = browserFirst.flatMap((door) =>
  (long ? [keyboard, mouse] : [keyboard]).map((by) => ({ door, by, name: `${by.name}, ${door.name}` })),
)

/** Nine readings of a film of a power law of the speed, a little thicker at the edge. */
const film = (speed: number, run: number) =>
  Array.from({ length: 9 }, (_, site) =>
    (1500 * (3250 / speed) ** 0.5 * (1 + 0.001 * (site % 3) + 0.002 * Math.sin(7 * run))).toFixed(1),
  )

describe.each(journeys)(
  'from a new study to the report by one hand: $name',
  ({ door, by }: { door: Door; by: (page: Page) => Hand }) => {
    describe.skipIf(door.missing)('', () => {
      let open: OpenDoor
      let page: Page
      let hand: Hand
      let complaints: string[]
      let studyId = ''
      const runs = () => callerOn(page)<Run[]>('bench.runs', { studyId })
      const nothingBroken = async () => {
        await settled(page)
        expect(await brokenRules(page)).toEqual([])
      }

      beforeAll(async () => {
        open = await door.open()
        page = open.page
        hand = by(page)
        complaints = complaintsOf(page)
        await page.evaluate(axe)
        await page.getByRole('button', { name: 'New study' }).first().waitFor()
      })
      afterAll(() => open?.close())

      test('a study is made and planned', async () => {
        await hand.press(/^New study$/)
        await page.getByLabel('Target thickness').waitFor()
        await nothingBroken()
        await hand.enter('Name', 'By one hand')
        await hand.enter('Target thickness', '1500')
        await hand.enter('Tolerance ±', '30')
        await hand.press(/^Create the study$/)
        await page.getByRole('button', { name: /^Speed alone/ }).waitFor()
        const [study] = await callerOn(page)<{ id: string }[]>('studies.list', {})
        studyId = study?.id ?? ''
        await hand.press(/^Speed alone/)
        await page.getByRole('button', { name: /^Make this the plan: \d+ runs/ }).waitFor()
        await nothingBroken()
        await hand.press(/^Make this the plan: \d+ runs/)
        await expect.poll(async () => (await runs()).length).toBeGreaterThanOrEqual(3)
      })

      test('its wafers are coated and read', async () => {
        await hand.go('Bench')
        await page.getByRole('button', { name: /^Coated: go on to the readings/ }).waitFor()
        await nothingBroken()
        const planned = (await runs()).sort((one, other) => one.runOrder - other.runOrder)
        for (const [i, run] of planned.entries()) {
          const texts = film(run.settings.speed as number, i)
          if (i === 0 || (long && i < planned.length - 1)) {
            await page.getByRole('heading', { level: 1, name: new RegExp(`^${run.code}`) }).waitFor()
            // Who has gone on to the readings of one run stays with the readings.
            if (i === 0) await hand.press(/^Coated: go on to the readings/)
            await hand.readFilm(texts)
          } else
            await callerOn(page)('bench.enterReadings', {
              runId: run.id,
              unit: 'nm',
              readings: texts.map((text, site) => ({ site: site + 1, text })),
            })
        }
        await expect.poll(async () => (await runs()).every(({ state }) => state === 'measured')).toBe(true)
      })

      test('the curve and its terms are looked at', async () => {
        await hand.go('Curves')
        await page
          .getByText(/residual standard deviation/)
          .first()
          .waitFor()
        await nothingBroken()
        await hand.chooseTab('Terms and tests')
        await page.getByText('log(speed)').first().waitFor()
        await nothingBroken()
      })

      test('the next run is taken', async () => {
        const before = await runs()
        await hand.go('Next')
        await page.getByRole('button', { name: 'Take this run' }).first().waitFor({ timeout: 55_000 })
        await nothingBroken()
        await hand.press(/^Take this run/)
        await expect.poll(async () => (await runs()).length).toBe(before.length + 1)
        const taken = (await runs()).find(({ id }) => !before.some((run) => run.id === id))
        await page.getByRole('heading', { level: 1, name: new RegExp(`^${taken?.code}`) }).waitFor()
      })

      test('the report is saved', async () => {
        await hand.go('Report')
        await page.locator('iframe').waitFor({ timeout: 55_000 })
        await nothingBroken()
        const saved = await open.saveNextFile()
        await hand.press(/^Save as HTML…$/)
        expect(await readFile(await saved.path, 'utf8')).toContain('<h1>By one hand</h1>')
        expect(complaints).toEqual([])
      })
    })
  },
)
