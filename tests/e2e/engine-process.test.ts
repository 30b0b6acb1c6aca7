import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ElectronApplication, Page } from 'playwright-core'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { design, speed, time } from '../engine/studies-for-tests.ts'
import { electronFile, launchElectron } from './helpers/doors.ts'
import { storelessProgram } from './helpers/storeless-program.ts'

type Called = { ok: boolean; value: Record<string, unknown>; problems: { code: string; message: string }[] }

/** One call over the page's bridge. */
const call = (page: Page, name: string, args: unknown = {}) =>
  page.evaluate(
    ([name, args]) => {
      const { evenfilm } = window as unknown as { evenfilm: { call(...words: unknown[]): Promise<Called> } }
      return evenfilm.call(name, args)
    },
    [name, args] as const,
  )

async function hangAndStartAgain(page: Page) {
  const hung = call(page, 'hang')
  await page.getByText(/has not answered for \d+ s/).waitFor({ timeout: 20_000 })
  await page.getByRole('button', { name: 'Start it again' }).click()
  await page.getByText(/has not answered for \d+ s/).waitFor({ state: 'detached' })
  expect(await call(page, 'repeat')).toMatchObject({ ok: true })
  expect(await hung).toMatchObject({ ok: true, value: 'once' })
}

const usualBench = {
  coatMl: 3,
  purgeMl: 10,
  dummies: 1,
  spares: 1,
  coatMinutes: 3,
  readMinutes: 2,
  siteMap: '9',
  slotHours: null,
  bottleMl: null,
  plateAtStart: 21,
  holdBakeTemperature: 100,
  hotPlate: null,
}

describe.skipIf(electronFile === '')('the engine’s process behind the window', () => {
  let folder: string
  let app: ElectronApplication | null

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfilm-engine-'))
    app = null
  })
  afterEach(async () => {
    await app?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  test('as a utility process: answers, tells of changes, refuses a defect, starts again where it ended, is stopped gently', async () => {
    const program = await storelessProgram(folder)
    const launched = await launchElectron(folder, {
      program,
      environment: { EVENFILM_ENGINE_NODE: undefined },
    })
    app = launched.app
    const { page } = launched
    const databaseFile = join(folder, 'profile', 'evenfilm.db')

    await page.evaluate(() => {
      const here = window as unknown as {
        changes: number
        evenfilm: { on(event: string, then: () => void): void }
      }
      here.changes = 0
      here.evenfilm.on('changed', () => {
        here.changes += 1
      })
    })
    expect(await call(page, 'repeat', { thickness: [1, null] })).toEqual({
      ok: true,
      value: { name: 'repeat', args: { thickness: [1, null] }, databaseFile, utility: true },
    })
    await page.waitForFunction(() => (window as unknown as { changes: number }).changes > 0)
    expect(await call(page, 'fail')).toMatchObject({ ok: false, problems: [{ code: 'defect' }] })
    // A thread of its own computes beside it.
    const plan = { factors: [speed, time], design, bench: usualBench }
    const computed = await call(page, 'compute', { computation: 'plan', input: plan })
    expect(computed.value.runs).toHaveLength(6)

    // One that ends starts again by itself; the call that ended it twice is refused, and the next one is answered.
    const ended = await call(page, 'end')
    expect(ended).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
    expect(ended.problems[0]?.message).toContain('exit code 9')
    expect(await call(page, 'repeat')).toMatchObject({ ok: true, value: { utility: true } })

    // One that goes on for ever is ended where the person asks for it.
    if (process.env.EVENFILM_TEST_LONG) await hangAndStartAgain(page)

    await launched.app.close()
    app = null
    expect(readFileSync(`${databaseFile}.closed`, 'utf8')).toBe('gently')
  })

  test.runIf(process.env.EVENFILM_TEST_LONG)(
    'one that cannot even start fails every call that waits for it, with its exit code',
    async () => {
      const launched = await launchElectron(folder, { environment: { EVENFILM_ENGINE_NODE: '/bin/false' } })
      app = launched.app
      const refused = await call(launched.page, 'studies.list')
      expect(refused).toMatchObject({ ok: false, problems: [{ code: 'engineGone' }] })
      expect(refused.problems[0]?.message).toContain('exit code 1')
      await launched.page.getByText(/is not started again by itself/).waitFor()
      expect(existsSync(join(folder, 'profile', 'evenfilm.db'))).toBe(false)
    },
  )
})
