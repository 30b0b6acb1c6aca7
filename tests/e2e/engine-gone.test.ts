import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { serveInBrowser } from '../../electron/browser.ts'
import { design, speed } from '../engine/studies-for-tests.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { enginesAreFound, signalEngine } from './helpers/engine-process.ts'
import { shot } from './helpers/shots.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** Silence after which a browser's door says so, s; the window's own is longer. */
const silence = 2

/** The engine killed, or stopped, under a page at which somebody works: nothing typed is lost, nothing is done twice. */
/** The window and what takes a while of silence are left to the long count; engine-process.test.ts starts the window's again. */
const long = process.env.EVENFILM_TEST_LONG

describe.each(browserFirst)('the engine gone under the page: $name', (door: Door) => {
  describe.skipIf(door.missing || !enginesAreFound)('', () => {
    let open: StudyOpen
    type Runs = { readings: { site: number; value: number }[] }[]
    const values = async (run = 0) => {
      const { runs } = await open.call<{ runs: Runs }>('bench.readings', { studyId: open.studyId })
      return runs[run]?.readings.map(({ site, value }) => [site, value])
    }
    const steps = async () =>
      (await open.call<object[]>('history.list', { studyId: open.studyId, limit: 1000 })).length
    const site = (number: number) => open.page.getByLabel(`Site ${number}`, { exact: true })
    const back = () =>
      open.page
        .getByRole('listitem')
        .getByText(/had stopped and works again/)
        .last()
    /** The page that was opened is the one that is there still. */
    const samePage = () => open.page.evaluate(() => (window as { marked?: boolean }).marked)

    beforeAll(async () => {
      const study = { name: 'Engine gone', targetNm: 1500 }
      open = await openStudy(door, 'bench', { study, factors: [speed], design }, { silence })
      await open.page.evaluate(() => {
        ;(window as { marked?: boolean }).marked = true
      })
      await open.page.getByRole('tab', { name: 'Read' }).click()
      await site(1).waitFor()
    })
    afterAll(() => open?.close())

    test('killed while readings are typed: each is saved once, what is half typed stays under the cursor', async () => {
      const { page } = open
      const before = await steps()
      await site(1).focus()
      await page.keyboard.type('1501')
      await page.keyboard.press('Enter')
      await page.keyboard.type('15')
      await signalEngine(open.dataFile, 'SIGKILL')
      await page.keyboard.type('02')
      await page.keyboard.press('Enter')
      await page.keyboard.type('1503')
      await page.keyboard.press('Enter')
      await page.keyboard.type('15')
      await back().waitFor()
      const all = [1, 2, 3].map((number) => [number, 1500 + number])
      await expect.poll(() => values()).toEqual(all)
      expect(await steps()).toBe(before + 3)
      expect(await site(4).inputValue()).toBe('15')
      expect(await site(4).evaluate((it) => it === document.activeElement)).toBe(true)
      await page.keyboard.type('04')
      await page.keyboard.press('Enter')
      await expect.poll(() => values()).toEqual([...all, [4, 1504]])
      expect(await samePage()).toBe(true)
    })

    test.runIf(long)(
      'killed again and again while readings of three runs are typed: each is saved once',
      async () => {
        const { page } = open
        const before = await steps()
        let typed = 0
        for (let run = 1; run <= 3; run++)
          for (let number = 1; number <= 9; number++) {
            // Not so often that it counts as ending again and again: that is another test.
            if (typed === 5 || typed === 15) await signalEngine(open.dataFile, 'SIGKILL')
            await site(number).focus()
            await page.keyboard.type(String(1600 + typed))
            await page.keyboard.press('Enter')
            typed += 1
          }
        await expect.poll(steps).toBe(before + typed)
      },
    )

    test('stopped: says so in the dialog at hand, saves nothing twice when it is started again on demand', async () => {
      const { page } = open
      await page.getByRole('button', { name: 'Leave out site 1', exact: true }).click()
      const dialog = page.getByRole('dialog')
      const before = await steps()
      await dialog.getByRole('textbox').fill('A scratch')
      const stopped = await signalEngine(open.dataFile, 'SIGSTOP')
      await dialog.getByRole('button', { name: 'Leave it out' }).click()
      await dialog.getByText(/has not answered for \d+ s/).waitFor({ timeout: 20_000 })
      await shot(page, `engine-silent-${door.name.replaceAll(' ', '-')}`)
      await dialog.getByRole('button', { name: 'Start it again' }).click()
      await back().waitFor()
      await dialog.waitFor({ state: 'detached' })
      expect(await steps()).toBe(before + 1)
      expect(() => process.kill(stopped, 0)).toThrow()
      expect(await samePage()).toBe(true)
    })

    test.runIf(long)('stopped for a while: the page goes on by itself when it answers again', async () => {
      const { page } = open
      const before = await steps()
      await signalEngine(open.dataFile, 'SIGSTOP')
      await site(5).fill('1505')
      await page.keyboard.press('Enter')
      await page.getByText(/has not answered for \d+ s/).waitFor({ timeout: 20_000 })
      expect(await site(5).inputValue()).toBe('1505')
      await signalEngine(open.dataFile, 'SIGCONT')
      await page.getByText(/has not answered for \d+ s/).waitFor({ state: 'detached' })
      await expect.poll(steps).toBe(before + 1)
    })

    test('killed under an import that is looked at: the mended columns stay, and it comes in once', async () => {
      const { page } = open
      await page.getByRole('tab', { name: 'Import CSV' }).click()
      const file = join(open.folder, 'day2.csv')
      await writeFile(file, 'wafer;T1;T2;T3\nW01;1.500,1;1501;1502\nW02;1490,5;---;1492\n')
      await page.locator('input[type=file]').first().setInputFiles([file])
      await page.getByRole('combobox', { name: 'Thousands sign of ‘T1’' }).click()
      await page.getByRole('option', { name: 'point between thousands' }).click()
      await page.getByText('→ 1500.1 nm').waitFor()
      await signalEngine(open.dataFile, 'SIGKILL')
      await page.getByRole('button', { name: /^Import \d/ }).click()
      await page
        .getByText(/^Imported 5 readings of 2 runs/)
        .first()
        .waitFor()
      const files = await open.call<object[]>('imports.list', { studyId: open.studyId })
      expect(files).toHaveLength(1)
      expect(await samePage()).toBe(true)
    })

    test('killed under a form: what was typed stays, and makes one study', async () => {
      const { page } = open
      await page.evaluate(() => {
        location.hash = ''
      })
      await page.getByRole('button', { name: 'New study' }).first().click()
      await page.getByLabel('Name', { exact: true }).fill('Typed before')
      await signalEngine(open.dataFile, 'SIGKILL')
      await page.getByLabel('Target thickness').fill('1,5 µm')
      await page.getByRole('button', { name: 'Create the study' }).click()
      await page.getByRole('button', { name: /Speed × time × bake/ }).waitFor()
      const studies = await open.call<{ name: string }[]>('studies.list', {})
      expect(studies.map(({ name }) => name).sort()).toEqual(['Engine gone', 'Typed before'])
    })

    test.runIf(long)(
      'ends again and again: is not started for ever, says so, and is started on demand',
      async () => {
        const { page } = open
        await page.getByLabel('Name', { exact: true }).waitFor({ state: 'detached' })
        // Three ends lie in this minute already, or fewer where the machine is slow.
        const ended = page.getByText(/is not started again by itself/)
        for (let kills = 0; kills < 4 && (await ended.count()) === 0; kills++) {
          await signalEngine(open.dataFile, 'SIGKILL')
          await page.waitForTimeout(1500)
        }
        await ended.waitFor()
        await shot(page, `engine-ended-${door.name.replaceAll(' ', '-')}`)
        await page.getByRole('button', { name: 'Try again' }).click()
        await ended.waitFor({ state: 'detached' })
        expect(await open.call<object[]>('studies.list', {})).toHaveLength(2)
      },
    )
  })
})

const [browser] = browserFirst as [Door, ...Door[]]

describe.skipIf(browser.missing || !long)('the program gone under the page of a browser', () => {
  test('the page keeps what was typed, and goes on with it once the program is there again and knows it', async () => {
    const study = { name: 'Program gone', targetNm: 1500 }
    const open = await openStudy(browser, 'bench', { study, factors: [speed], design })
    try {
      const { page } = open
      await page.getByRole('tab', { name: 'Read' }).click()
      const port = Number(new URL(page.url()).port)
      await open.leave()
      const field = page.getByLabel('Site 1', { exact: true })
      await field.fill('1501')
      await page.keyboard.press('Enter')
      await page.getByText(/The program behind this page does not answer/).waitFor()
      const again = await serveInBrowser({ data: open.dataFile, port })
      if (!again.ok) throw new Error(again.problems[0]?.message)
      await page.getByText(/does not know this page yet/).waitFor()
      expect(await field.inputValue()).toBe('1501')
      const admitted = await page.context().newPage()
      await admitted.goto(again.value.address)
      await page.getByText(/does not know this page yet/).waitFor({ state: 'detached' })
      const { runs } = await open.call<{ runs: { readings: object[] }[] }>('bench.readings', {
        studyId: open.studyId,
      })
      expect(runs[0]?.readings).toHaveLength(1)
      await again.value.close()
    } finally {
      await open.close()
    }
  })
})
