import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { DesignSettings, Factor, Run } from '../../../shared/contract/things.ts'
import { bake, design, speed, time } from '../../engine/studies-for-tests.ts'
import { type Door, doors } from '../helpers/doors.ts'
import { shot } from '../helpers/shots.ts'
import { openStudy, type StudyOpen, showScreen } from '../helpers/study.ts'

const door = doors[0] as Door
const factors: Factor[] = [
  { ...speed, step: 10 },
  { ...time, levels: 3, step: 1 },
  { ...bake, step: 1 },
]
const composite: DesignSettings = { ...design, kind: 'composite', star: 'face', centre: 4 }

describe.skipIf(door.missing)('a plan before the first wafer and after it broke', () => {
  let open: StudyOpen
  let page: Page
  const runs = () => open.call<Run[]>('bench.runs', { studyId: open.studyId })

  beforeAll(async () => {
    const study = { name: 'Rehearsed', targetNm: 1700, toleranceNm: 40, lots: ['A'] }
    open = await openStudy(door, 'plan', { study, factors, design: composite })
    page = open.page
  })
  afterAll(async () => {
    await open?.close()
  })

  test('the plan is rehearsed on an invented film, marked as such, and can be stopped on the way', async () => {
    await page.getByRole('table', { name: 'Runs of this study in run order' }).waitFor()
    await page.getByRole('button', { name: 'Change the plan' }).click()
    await page.getByText('Rehearse this plan').click()
    await page.getByLabel('Times', { exact: true }).fill('2000')
    await page.getByRole('button', { name: 'Rehearse 2000 times' }).click()
    await page.getByRole('button', { name: 'Cancel' }).click()
    await page.getByLabel('Times', { exact: true }).fill('20')
    await page.getByText('Change the film').click()
    await page.getByLabel('Wafer to wafer', { exact: true }).fill('0.5')
    await page.getByRole('button', { name: 'Rehearse 20 times' }).click()
    const result = page.getByRole('region', { name: 'What the rehearsals came to' })
    await result.getByText(/In 20 rehearsals the recipe was within ±40 nm in \d+ \(\d+ %\)/).waitFor()
    await result.getByText('Simulated film').waitFor()
    expect(await result.getByRole('img').count()).toBe(2)
    await shot(page, 'plan-rehearsed')
  })

  test('a plan that broke at the bench is planned anew around what is done, and taken back by undo', async () => {
    const before = await runs()
    for (const run of before.slice(0, 8))
      await open.call('bench.updateRun', { runId: run.id, change: { state: 'coated' } })
    await showScreen(page, 'bench', open.studyId)
    await page.getByRole('button', { name: 'Plan the rest anew…' }).click()
    await page.getByLabel('Runs left').fill('6')
    await page.getByLabel('Plate stuck at').fill('100')
    await page.getByRole('button', { name: 'Propose the rest' }).click()
    const proposal = page.getByRole('region', { name: 'The proposed rest' })
    await proposal.getByText('8 runs are done and 6 more fit').waitFor()
    expect(await proposal.getByRole('table', { name: 'As proposed' }).getByRole('row').count()).toBe(7)
    await shot(page, 'plan-broken')
    const asItWas = await runs()
    await page.getByRole('button', { name: /Take these 6 runs in place of the/ }).click()
    await expect.poll(async () => (await runs()).filter(({ state }) => state === 'planned').length).toBe(6)
    for (const { settings } of (await runs()).filter(({ state }) => state === 'planned'))
      expect(settings.bake).toBe(100)
    await page.getByRole('button', { name: 'Undo' }).first().click()
    await expect.poll(runs).toEqual(asItWas)
    expect(open.complaints).toEqual([])
  })
})
