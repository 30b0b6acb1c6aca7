import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { Fit } from '../../shared/contract/results/fit.ts'
import { doors, type OpenDoor, root } from '../e2e/helpers/doors.ts'
import { callFromPage } from '../e2e/helpers/page-call.ts'
import { shot } from '../e2e/helpers/shots.ts'

/** Published data through the page: a study from the file, the preview, the import, and what the page then says. */
const door = doors[0]

describe.skipIf(!door || door.missing)('published data brought in through the page', () => {
  let open: OpenDoor
  let page: Page

  beforeEach(async () => {
    open = await (door as NonNullable<typeof door>).open()
    page = open.page
  })
  afterEach(() => open.close())

  const call = async <T>(name: string, args: unknown): Promise<T> => {
    const answer = (await page.evaluate(callFromPage, { name, args })) as { ok: boolean; value: T }
    expect(answer, name).toMatchObject({ ok: true })
    return answer.value
  }

  /** Makes a study from a file of tests/data and opens the preview; its id. */
  async function studyFrom(file: string, substrate?: { diameter: string; edge: string }) {
    await page.getByRole('button', { name: 'From a CSV file…' }).click()
    await page
      .getByRole('dialog')
      .locator('input[type=file]')
      .setInputFiles(join(root, 'tests/data', file))
    if (substrate) {
      await page.getByLabel('Diameter', { exact: true }).fill(substrate.diameter)
      await page.getByLabel('Edge exclusion').fill(substrate.edge)
    }
    await page.getByRole('button', { name: 'Make the study and look at the file' }).click()
    await page.getByRole('button', { name: /^Import / }).waitFor()
    const [study] = await call<{ id: string }[]>('studies.list', {})
    await shot(page, `import-${file.replace('.csv', '')}`)
    await page.getByRole('button', { name: /^Import / }).click()
    await page
      .getByText(/^Imported/)
      .first()
      .waitFor()
    return (study as { id: string }).id
  }

  const screen = (name: string) =>
    page.getByRole('navigation').first().locator('a, button').filter({ hasText: name }).first().click()
  const fitOf = async (studyId: string, response: string, model: string) =>
    (await call<{ fit: Fit }>('fits.fit', { studyId, response, model })).fit

  // A resist's thickness at twelve speeds, University of Pennsylvania cleanroom tool data (repository.upenn.edu,
  // series scn_tooldata, article 1000). Least squares computed in R 4.2.2 from the same numbers.
  test('the twelve-point speed curve: a straight log–log line is called wrong', async () => {
    const studyId = await studyFrom('upenn_resist_spin_curve.csv')
    const fit = await fitOf(studyId, 'thickness', 'log(thickness) ~ log(rpm)')
    expect(fit.n).toBe(12)
    expect(fit.terms[1]?.estimate).toBeCloseTo(-0.4792535716842991, 10)
    expect(fit.residualStandardDeviation).toBeCloseTo(0.020276085187, 10)
    await screen('Curves')
    await page.getByRole('combobox', { name: 'Model' }).click()
    await page
      .getByRole('option', { name: /^log\(thickness\) ~ log\(rpm\)(?! \+)/ })
      .first()
      .click()
    await page
      .getByText(/F\(1, 9\) = 14\.82/)
      .first()
      .waitFor()
    await shot(page, 'published-speed-curve')
  })

  // NIST/SEMATECH e-Handbook of Statistical Methods 5.4.7.3, data file IMPROVE-5_4_7_3.DAT. The coefficients in
  // the printed ±0.71 coding and in natural coding were computed in R 4.2.2.
  test('the film-deposition surface: two responses, in natural units and coded', async () => {
    const studyId = await studyFrom('nist_cvd_rsm.csv')
    const { responses } = await call<{ responses: string[] }>('fits.models', { studyId, response: '' })
    expect(responses).toEqual(expect.arrayContaining(['uniformity_pct', 'stress']))
    const coded = '(coded_p + coded_r)^2 + coded_p^2 + coded_r^2'
    const uniformity = await fitOf(studyId, 'uniformity_pct', `uniformity_pct ~ ${coded}`)
    const estimates = Object.fromEntries(uniformity.terms.map(({ term, estimate }) => [term, estimate]))
    expect(estimates.constant).toBeCloseTo(5.86612597, 8)
    expect(estimates.coded_p).toBeCloseTo(-1.90967035, 8)
    expect(estimates['coded_p.coded_r']).toBeCloseTo(1.68617338, 8)
    expect(uniformity.press).toBeCloseTo(13.0402606614, 9)
    expect(uniformity.lackOfFit?.f).toBeCloseTo(0.855164399086, 10)
    const natural = '(pressure_torr + h2_wf6)^2 + pressure_torr^2 + h2_wf6^2'
    const stress = await fitOf(studyId, 'stress', `stress ~ ${natural}`)
    expect(stress.residualStandardDeviation).toBeCloseTo(0.0764240728061, 12)
    expect(stress.rSquared).toBeCloseTo(0.991888124429, 11)
    await screen('Curves')
    await page.getByRole('combobox', { name: 'Response' }).click()
    await page.getByRole('option', { name: 'stress' }).click()
    await page.getByRole('tab', { name: 'Two factors' }).click()
    await page
      .getByText(/residual standard deviation/)
      .first()
      .waitFor()
    await shot(page, 'published-surface')
  })

  // NIST data file EHRSTEIN.DAT (300 sites on a 125 mm wafer; a minus sign flags a reading). Mean of the 287
  // positive readings computed from the file's 290 positive-or-zero ones, whose mean is 14.0269345862.
  test('the 300-site wafer map: flagged readings come in left out, with the reason', async () => {
    const studyId = await studyFrom('ehrstein_wafer_map.csv', { diameter: '125', edge: '3' })
    type Row = { film: { n: number; mean: number; excluded: { reason: string }[] } | null; responses: object }
    const [row] = await call<Row[]>('bench.runs', { studyId })
    expect(row?.film?.n).toBe(287)
    expect(row?.film?.mean).toBeCloseTo((14.0269345862 * 290) / 287, 8)
    expect(row?.film?.excluded).toHaveLength(13)
    await page.getByRole('tab', { name: 'Read' }).click()
    await page
      .getByText(/negative/)
      .first()
      .waitFor()
    await shot(page, 'published-wafer-map')
  })
})
