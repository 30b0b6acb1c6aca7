import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Run } from '../../shared/contract/things.ts'
import { siteMap } from '../../shared/film/site-map.ts'
import { seeded } from '../../shared/random.ts'
import { type Door, type OpenDoor, windowFirst } from './helpers/doors.ts'
import { shot } from './helpers/shots.ts'
import { callerOn, complaintsOf } from './helpers/study.ts'

/**
 * The whole job once through, as a person does it: in the window, and in the long count behind each
 * door (hands.test.ts does it in a browser). The film is invented: a power law of the
 * speed with small effects of time and bake, lot B 2 % thicker, 0.3 % scatter from wafer to wafer.
 */
const random = seeded(11)
const lotRatio = { A: 1, B: 1.02 }

function inventedMean(at: { speed: number; time: number; bake: number }, lot: 'A' | 'B'): number {
  const smooth =
    1500 * (at.speed / 3250) ** -0.52 * Math.exp(-0.002 * (at.time - 40) - 0.003 * (at.bake - 100))
  return smooth * lotRatio[lot] * (1 + 0.003 * random.normal())
}

const settingsOf = (run: Run) => run.settings as { speed: number; time: number; bake: number }

/** Nine readings of a slightly bowl-shaped film, as texts. */
function readingsOf(run: Run): string[] {
  const mean = inventedMean(settingsOf(run), 'A')
  return siteMap({ name: '9', diameterMm: 100, edgeExclusionMm: 6 }).map(({ xMm, yMm }) => {
    const rho = Math.hypot(xMm, yMm) / 50
    return (mean * (1 + 0.002 * (2 * rho ** 2 - 1))).toFixed(1)
  })
}

describe.each(windowFirst)('the whole job behind the door: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: OpenDoor
    let page: Page
    let studyId: string
    let runs: Run[]
    let call: ReturnType<typeof callerOn>
    let complaints: string[]
    const label = door.name.replaceAll(' ', '-')

    const screen = (name: string) =>
      page
        .getByRole('navigation')
        .first()
        .getByRole('link', { name })
        .or(page.getByRole('navigation').first().getByRole('button', { name }))
        .first()
        .click()

    beforeAll(async () => {
      open = await door.open()
      page = open.page
      call = callerOn(page)
      complaints = complaintsOf(page)
    })
    afterAll(async () => {
      await open?.close()
    })

    test('a study is made', async () => {
      await page.getByRole('button', { name: 'New study' }).first().click()
      await page.getByLabel('Name', { exact: true }).fill('Even film of 1500 nm')
      await page.getByLabel('Target thickness').fill('1,5 µm')
      await page.getByLabel('Tolerance ±').fill('300 Å')
      await page.getByLabel('Resist lots').fill('A, B')
      await page.getByRole('button', { name: 'Create the study' }).click()
      await page.getByRole('button', { name: /Speed × time × bake/ }).waitFor()
      const [study] = await call<{ id: string; targetNm: number; toleranceNm: number }[]>('studies.list', {})
      expect(study).toMatchObject({ targetNm: 1500, toleranceNm: 30 })
      studyId = study?.id as string
    })

    test('a 3 × 2 × 3 grid is planned, its cost and order shown as one types', async () => {
      await page.getByRole('button', { name: /Speed × time × bake/ }).click()
      for (const [field, value] of [
        ['Low of speed', '2000'],
        ['High of speed', '4500'],
        ['Levels of speed', '3'],
        ['Low of time', '30'],
        ['High of time', '50'],
        ['Levels of time', '2'],
        ['Low of bake', '95'],
        ['High of bake', '105'],
        ['Levels of bake', '3'],
      ] as const)
        await page.getByLabel(field, { exact: true }).fill(value)
      const save = page.getByRole('button', { name: 'Make this the plan: 18 runs' })
      await save.waitFor()
      await page.getByText(/bake is hard to change, so/).waitFor()
      await page.getByLabel('Hours booked').fill('3')
      await page.getByLabel('Start', { exact: true }).fill('09:00')
      await page.getByText(/Over by \d+ min\. Drop one of:/).waitFor()
      await page.getByText(/done at 1\d:\d\d, over by/).waitFor()
      await page.getByRole('button', { name: 'Read the films after the slot' }).click()
      await page.getByText(/, fits what is booked/).waitFor()
      await page.getByRole('button', { name: 'Put it back' }).click()
      await page.getByText(/Over by \d+ min\. Drop one of:/).waitFor()
      await shot(page, `job-plan-${label}`)
      await save.click()
      await expect.poll(async () => (await call<Run[]>('bench.runs', { studyId })).length).toBe(18)
      runs = (await call<Run[]>('bench.runs', { studyId })).sort((a, b) => a.runOrder - b.runOrder)
      const bakes = runs.map((run) => settingsOf(run).bake)
      expect(bakes.filter((bake, i) => i === 0 || bake !== bakes[i - 1])).toHaveLength(3)
    })

    test('the first run is read at the bench, site by site, with Enter', async () => {
      await screen('Bench')
      await page.getByRole('tab', { name: 'Read' }).click()
      const texts = readingsOf(runs[0] as Run)
      await page.getByLabel('Site 1', { exact: true }).fill(texts[0] as string)
      await page.keyboard.press('Enter')
      for (const [i, text] of texts.entries()) {
        if (i === 0) continue
        await page.keyboard.type(text.replace('.', ','))
        await page.keyboard.press('Enter')
      }
      await expect
        .poll(async () => (await call<{ readings: number; code: string }[]>('bench.runs', { studyId }))[0])
        .toMatchObject({ readings: 9, code: runs[0]?.code, state: 'measured' })
      const mean = texts.reduce((sum, text) => sum + Number(text), 0) / 9
      const [row] = await call<{ film: { mean: number } }[]>('bench.runs', { studyId })
      expect(row?.film.mean).toBeCloseTo(mean, 9)
      await shot(page, `job-read-${label}`)
    })

    test('a file with a bad row brings nothing in and names the row', async () => {
      await page.getByRole('tab', { name: 'Import CSV' }).click()
      const rows = [`${runs[1]?.code},1,1500.1`, `${runs[1]?.code},2,12..5`]
      await chooseFile(page, 'bad.csv', ['run,site,thickness (nm)', ...rows].join('\n'))
      await page
        .getByText(/12\.\.5/)
        .first()
        .waitFor()
      await page.getByText(/Row 3/i).first().waitFor()
      expect(await page.getByRole('button', { name: /^Import \d/ }).isDisabled()).toBe(true)
      const rowsNow = await call<{ readings: number }[]>('bench.runs', { studyId })
      expect(rowsNow.map((row) => row.readings).filter((count) => count > 0)).toHaveLength(1)
    })

    test('the rest comes in from a CSV file', async () => {
      const lines = runs
        .slice(1)
        .flatMap((run) => readingsOf(run).map((text, i) => `${run.code};${i + 1};${text.replace('.', ',')}`))
      await chooseFile(page, 'readings.csv', ['run;site;thickness (nm)', ...lines].join('\r\n'))
      await page.getByRole('button', { name: 'Import 153 readings of 17 runs' }).click()
      await expect
        .poll(async () =>
          (await call<{ readings: number }[]>('bench.runs', { studyId })).every((row) => row.readings === 9),
        )
        .toBe(true)
    })

    test('the curve is shown with what it says', async () => {
      await screen('Curves')
      await page
        .getByRole('heading', { name: /thickness against speed/ })
        .or(page.getByText('thickness against speed'))
        .first()
        .waitFor()
      await page
        .getByText(/residual standard deviation/)
        .first()
        .waitFor()
      await page.getByRole('tab', { name: 'Terms and tests' }).click()
      await page.getByText('log(speed)').first().waitFor()
      await shot(page, `job-curves-${label}`)
    })

    test('models are compared, and a row of the table takes its model', async () => {
      await page.getByRole('tab', { name: 'Compare models' }).click()
      await page.getByText('the best of them need not be a good one').waitFor()
      await shot(page, `job-compare-models-${label}`)
      const straight = 'log(thickness) ~ log(speed) + time + bake'
      await page.getByRole('cell', { name: straight, exact: true }).click()
      await expect
        .poll(async () => (await call<{ model: string | null }>('studies.get', { studyId })).model)
        .toBe(straight)
    })

    test('a robust fit is chosen, and least squares again', async () => {
      const chooseFit = async (name: string) => {
        await page.getByRole('combobox', { name: 'Fit', exact: true }).click()
        await page.getByRole('option', { name }).click()
      }
      await chooseFit('Robust, far runs count less')
      await page
        .getByText('Curves and the report show this fit; Next and Lots go by the fit over days.')
        .waitFor()
      await page.getByRole('tab', { name: 'Terms and tests' }).click()
      await page.getByText('log(speed)').first().waitFor()
      expect(await page.getByText('Analysis of variance, terms in the order').count()).toBe(0)
      await chooseFit('Least squares')
      await page.getByText('Analysis of variance, terms in the order').waitFor()
      await shot(page, `job-terms-${label}`)
    })

    test('the recommended run is taken into the plan', async () => {
      await screen('Next')
      await page.getByRole('button', { name: 'Take this run' }).first().click()
      await expect.poll(async () => (await call<Run[]>('bench.runs', { studyId })).length).toBe(19)
      const taken = (await call<Run[]>('bench.runs', { studyId })).find((run) => run.kind === 'next')
      expect(inventedMean(settingsOf(taken as Run), 'A')).toBeGreaterThan(1475)
      expect(inventedMean(settingsOf(taken as Run), 'A')).toBeLessThan(1525)
      await shot(page, `job-next-${label}`)
    })

    test('runs of lot B come in as a table of runs, and the lots are compared', async () => {
      await screen('Bench')
      await page.getByRole('tab', { name: 'Import CSV' }).click()
      const grid = [2000, 3250, 4500].flatMap((speed) => [95, 105].map((bake) => ({ speed, time: 40, bake })))
      const lines = grid.map(
        (at, i) => `B${i + 1},B,${at.speed},${at.time},${at.bake},${inventedMean(at, 'B').toFixed(1)}`,
      )
      await chooseFile(page, 'lot-b.csv', ['run,lot,speed,time,bake,thickness (nm)', ...lines].join('\n'))
      await page.getByRole('button', { name: 'Import 6 new runs and 6 readings' }).click()
      await expect.poll(async () => (await call<Run[]>('bench.runs', { studyId })).length).toBe(25)
      await screen('Lots')
      await page.getByText('Does one curve serve all lots?').waitFor()
      await page.getByText('No: the lots differ.').waitFor()
      await shot(page, `job-lots-${label}`)
      const shifts = page.getByRole('table', { name: /Shift at the target/ })
      const shift = await shifts.getByRole('row', { name: /^B/ }).textContent()
      expect(Number(/\+([\d.]+) %/.exec(shift ?? '')?.[1])).toBeGreaterThan(1.5)
      expect(Number(/\+([\d.]+) %/.exec(shift ?? '')?.[1])).toBeLessThan(2.5)
    })

    test('runs and readings are exported, and come back in without loss', async () => {
      await screen('Report')
      const texts: string[] = []
      for (const button of ['Runs…', 'Readings…']) {
        const saved = await open.saveNextFile()
        await page.getByRole('button', { name: button }).click()
        texts.push(await readFile(await saved.path, 'utf8'))
      }
      await shot(page, `job-report-${label}`)
      const copy = await call<{ studyId: string }>('studies.create', { study: { name: 'Read back' } })
      for (const [i, text] of texts.entries())
        await call('imports.commit', { studyId: copy.studyId, fileName: `back-${i}.csv`, text })
      const facts = async (id: string) =>
        (await call<(Run & { film: unknown; readings: number })[]>('bench.runs', { studyId: id })).map(
          ({ code, settings, lot, state, readings, film }) => ({
            code,
            settings,
            lot,
            state,
            readings,
            film: film && { ...film, id: '' },
          }),
        )
      expect(await facts(copy.studyId)).toEqual(await facts(studyId))
    })

    test('undo takes the last step back, redo makes it again', async () => {
      const before = (await call<Run[]>('bench.runs', { studyId })).length
      await page.getByRole('button', { name: /^Undo/ }).first().click()
      await expect.poll(async () => (await call<Run[]>('bench.runs', { studyId })).length).toBe(before - 6)
      await page.getByRole('button', { name: /^Redo/ }).first().click()
      await expect.poll(async () => (await call<Run[]>('bench.runs', { studyId })).length).toBe(before)
    })

    test('the page has complained of nothing', () => {
      expect(complaints).toEqual([])
    })

    /** Writes a file and gives it to the page's file field. */
    async function chooseFile(on: Page, name: string, text: string) {
      const file = join(open.folder, name)
      await writeFile(file, text)
      await on.locator('input[type=file]').first().setInputFiles(file)
    }
  })
})
