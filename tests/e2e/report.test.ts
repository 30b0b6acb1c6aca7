import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { partTitles } from '../../shared/report/part-titles.ts'
import { type Door, doors } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** The report as a document within the page: what stands in it, in which order, and that the content policy lets it. */
const door = doors[0] as Door

describe.skipIf(door.missing)('the report on the page', () => {
  let open: StudyOpen

  beforeAll(async () => {
    open = await openStudy(door, 'report', 'demo')
  }, 60_000)
  afterAll(() => open?.close())

  const frame = () => open.page.frameLocator('iframe[title="The report as a document"]')
  const headings = () => frame().locator('h2').allInnerTexts()

  test('holds every part, styled, and nothing is refused by the content policy', async () => {
    await frame().locator('#origin').waitFor({ timeout: 60_000 })
    expect(await headings()).toEqual(Object.values(partTitles))
    expect(await frame().locator('#films svg').count()).toBeGreaterThan(50)
    const columns = await frame()
      .locator('.maps')
      .evaluate((maps) => getComputedStyle(maps).gridTemplateColumns.split(' ').length)
    expect(columns).toBe(4)
    expect(open.complaints).toEqual([])
  })

  test('parts are moved and taken out by buttons, a note stands between them, and it is all kept', async () => {
    const { page } = open
    await page.getByRole('button', { name: `Take ${partTitles.films} out` }).click()
    await page.getByRole('button', { name: `Move ${partTitles.conditions} up` }).press('Enter')
    await page.getByRole('button', { name: `Note after ${partTitles.conditions}` }).click()
    await page.keyboard.type('Coated before the exhaust was changed.')
    await page.keyboard.press('Tab')
    await frame().getByText('Coated before the exhaust was changed.').waitFor({ timeout: 60_000 })
    await expect
      .poll(headings, { timeout: 60_000 })
      .toEqual([
        partTitles.conditions,
        ...Object.values(partTitles).filter(
          (title) => title !== partTitles.films && title !== partTitles.conditions,
        ),
      ])
    await page.reload()
    await frame().getByText('Coated before the exhaust was changed.').waitFor({ timeout: 60_000 })
    await page.getByRole('button', { name: partTitles.films, exact: true }).waitFor()
    expect(open.complaints).toEqual([])
  })

  test('the reader stays where they are while the document is made anew, and no script runs in it', async () => {
    const { page } = open
    const at = () =>
      frame()
        .locator('html')
        .evaluate((root) => root.scrollTop)
    await frame()
      .locator('html')
      .evaluate((root) => root.scrollTo(0, 1200))
    await page.getByRole('button', { name: `Take ${partTitles.cautions} out` }).click()
    await expect.poll(() => frame().locator('#cautions').count(), { timeout: 60_000 }).toBe(0)
    await expect.poll(at).toBe(1200)
    expect(await page.locator('iframe').getAttribute('sandbox')).toBe('allow-same-origin')
  })

  test('a note written on other data says so, on the page and in the document', async () => {
    const { page, call, studyId } = open
    const runs = await call<{ id: string; kind: string }[]>('bench.runs', { studyId })
    const run = runs.find(({ kind }) => kind === 'factorial')
    await call('bench.updateRun', { runId: run?.id, change: { excluded: 'wrong chuck' } })
    await frame().getByText('Out of date.').first().waitFor({ timeout: 60_000 })
    await page.getByText('1 note written on other data.').waitFor()
    await frame().getByText('wrong chuck').first().waitFor()
  })
})
