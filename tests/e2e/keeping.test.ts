import { randomBytes } from 'node:crypto'
import { mkdtemp, open as openFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { settled } from '../../build/shots/walk.js'
import { startEngine } from '../../electron/engine/engine.ts'
import { design, speed } from '../engine/studies-for-tests.ts'
import { axe, brokenRules } from './helpers/axe.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().click()

/** The data of a lab are kept and passed on from the page: backups, and a study as a file. */
describe.each(browserFirst)('keeping what there is: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    let runs: { id: string }[]
    const names = async () =>
      (await open.call<{ name: string }[]>('studies.list', {})).map(({ name }) => name).sort()
    const readings = async () =>
      (
        await open.call<{ runs: { readings: unknown[] }[] }>('bench.readings', { studyId: open.studyId })
      ).runs.map((run) => run.readings.length)
    const read = (run: number, text: string) =>
      open.call('bench.enterReadings', {
        runId: runs[run]?.id,
        unit: 'nm',
        readings: [{ site: 1, text }],
      })
    const nothingBroken = async () => {
      await settled(open.page)
      expect(await brokenRules(open.page)).toEqual([])
    }

    beforeAll(async () => {
      const study = { name: 'Kept', targetNm: 1500, toleranceNm: 30, siteMap: '9' }
      open = await openStudy(door, 'studies', { study, factors: [speed], design })
      runs = await open.call<{ id: string }[]>('bench.runs', { studyId: open.studyId })
      await open.page.evaluate(axe)
    })
    afterAll(() => open?.close())

    test('a backup is made, looked into, and put in place of what came after it', async () => {
      const { page } = open
      await read(0, '1501')
      await press(page, 'Backups…')
      await press(page, 'Back up now')
      await page.getByText('A backup is made.').first().waitFor()
      await read(0, '1502')
      await read(1, '1603')
      await nothingBroken()
      await press(page, /^Look inside the backup/)
      const inside = page.getByRole('table', { name: 'Studies in this backup' })
      await inside.waitFor()
      expect((await inside.locator('tbody td').allTextContents()).slice(0, 3)).toEqual(['Kept', '3', '1'])
      await nothingBroken()
      await press(page, 'Put it in the place of the database')
      await page
        .getByText(/is in place; what was there is among the backups/)
        .first()
        .waitFor()
      expect(await readings()).toEqual([1, 0, 0])
      // What was there is not gone: it is the newest of the backups, and goes back the same way.
      await press(page, 'Backups…')
      await page.getByText('before a backup was put back').first().waitFor()
      await press(page, /^Look inside the backup/)
      await press(page, 'Put it in the place of the database')
      await expect.poll(readings).toEqual([1, 1, 0])
    })

    test('a study goes into a file, says that it is here already, and comes in as a copy', async () => {
      const { page } = open
      await press(page, 'Studies')
      const saved = await open.saveNextFile()
      await press(page, 'Save as file: Kept')
      const file = await saved.path
      expect(file).toMatch(/Kept.*\.evenfilm$/)
      await press(page, 'From a study’s file…')
      await page.getByLabel('Study’s file (.evenfilm)').setInputFiles(file)
      await page.getByText('The study is here already, as ‘Kept’.').waitFor()
      await page.getByText(/^Hash of its data: [0-9a-f]{64}$/).waitFor()
      expect(await page.getByRole('button', { name: 'Bring it in' }).isDisabled()).toBe(true)
      await nothingBroken()
      await page.getByRole('combobox', { name: 'How' }).click()
      await page.getByRole('option', { name: 'As a copy beside it' }).click()
      await press(page, 'Bring it in')
      await expect.poll(async () => (await names()).length).toBe(2)
      expect(await readings()).toEqual([1, 1, 0])
    })

    test('what was read meanwhile elsewhere is added, and one step back takes it out again', async () => {
      const { page } = open
      const elsewhere = await mkdtemp(join(tmpdir(), 'evenfilm-elsewhere-'))
      const saved = await open.call<{ fileName: string; bytes: string }>('studies.file', {
        studyId: open.studyId,
      })
      const other = await startEngine({ databaseFile: join(elsewhere, 'other.evenfilm') })
      const call = async <T>(name: string, args: unknown) =>
        ((await other.call(name, args)) as { ok: true; value: T }).value
      const { studyId } = await call<{ studyId: string }>('studies.bringIn', { ...saved, way: 'new' })
      expect(studyId).toBe(open.studyId)
      await call('bench.enterReadings', {
        runId: runs[2]?.id,
        unit: 'nm',
        readings: [{ site: 4, text: '1444' }],
      })
      const grown = await call<{ fileName: string; bytes: string }>('studies.file', { studyId })
      await other.close()
      await press(page, 'From a study’s file…')
      await page.getByLabel('Study’s file (.evenfilm)').setInputFiles({
        name: grown.fileName,
        mimeType: 'application/octet-stream',
        buffer: Buffer.from(grown.bytes, 'base64'),
      })
      await page.getByText('Runs and readings that are not here yet.', { exact: false }).waitFor()
      await press(page, 'Bring it in')
      await expect.poll(readings).toEqual([1, 1, 1])
      await press(page, /^Undo/)
      await expect.poll(readings).toEqual([1, 1, 0])
      await rm(elsewhere, { recursive: true })
    })
  })

  describe.skipIf(door.missing)('', () => {
    test.runIf(process.env.EVENFILM_TEST_LONG)(
      'a database that cannot be read is kept, and its newest backup takes its place',
      async () => {
        const folder = await mkdtemp(join(tmpdir(), 'evenfilm-damaged-'))
        const databaseFile = join(folder, 'evenfilm.db')
        const engine = await startEngine({ databaseFile })
        await engine.call('studies.create', { study: { name: 'Rescued', targetNm: 1500 } })
        await engine.call('backups.make', {})
        await engine.close()
        const damaged = await openFile(databaseFile, 'r+')
        await damaged.write(randomBytes(8192), 0, 8192, 0)
        await damaged.close()
        const open = await door.open({ folder })
        await open.page.getByRole('heading', { name: 'The database cannot be read' }).waitFor()
        await open.page.evaluate(axe)
        expect(await brokenRules(open.page)).toEqual([])
        await press(open.page, /^Look inside the backup/)
        await press(open.page, 'Put it in the place of the database')
        await open.page
          .getByText(/The damaged file is kept as/)
          .first()
          .waitFor()
        await open.page.getByText('Rescued').first().waitFor()
        await open.close()
        await rm(folder, { recursive: true })
      },
    )
  })
})
