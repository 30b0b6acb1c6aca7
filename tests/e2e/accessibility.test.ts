import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { AxeResults, RunOptions } from 'axe-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { settled, show, themes, walkDialogs, walkStudy } from '../../build/shots/walk.js'
import { browserFirst, type Door } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** Every rule that axe has switched on, best practices too, and the size of targets of WCAG 2.2 beside them. */
const everyRule: RunOptions = { rules: { 'target-size': { enabled: true } } }
/** An option is named by its word alone; the sentence below it, when to choose it, is its description. */
const rulesOfLists: RunOptions = { rules: { 'label-content-name-mismatch': { enabled: false } } }
/** Themes differ in their colours alone. */
const colours: RunOptions = { runOnly: ['color-contrast'] }

/** Every tab, dialog and theme is for the long count; the pairs of colours of each theme are held by a unit test too. */
const long = Boolean(process.env.EVENFILM_TEST_LONG)
const themesHere: string[] = long ? themes : ['light']

type WithAxe = { axe: { run(part: Element | Document, options: RunOptions): Promise<AxeResults> } }

/** Runs axe in the themes, in what is open over the page or else in the page; what it finds, with view, rule and place. */
async function findings({ page }: StudyOpen, view: string, rules = everyRule): Promise<string[]> {
  const found: string[] = []
  for (const theme of themesHere) {
    await page.evaluate((name) => {
      document.documentElement.dataset.theme = name
    }, theme)
    const { violations } = await page.evaluate(
      (options) => {
        const part =
          document.querySelector('.select-list') ?? document.querySelector('[role=dialog]') ?? document
        return (window as unknown as WithAxe).axe.run(part, options)
      },
      theme === 'light' ? rules : colours,
    )
    for (const { id, nodes } of violations)
      for (const { target, any, all, none } of nodes)
        found.push(`${theme} ${view}: ${id} at ${target}: ${[...any, ...all, ...none][0]?.message}`)
  }
  return found
}

describe.each(browserFirst)('accessibility: $name', (door: Door) => {
  describe.skipIf(door.missing)('', () => {
    let open: StudyOpen
    let found: string[]
    const visit = async (view: string) => {
      found.push(...(await findings(open, view)))
    }
    /** Visits the view and the dialogs that open over it. */
    const visitAll = async (view: string) => {
      await visit(view)
      await walkDialogs(open.page, visit, view)
    }

    beforeAll(async () => {
      open = await openStudy(door, 'bench', 'demo')
      await open.page.evaluate(axe)
    })
    afterAll(() => open?.close())

    test.each(['studies', 'plan', 'bench', 'curves', 'next', 'lots', 'report'])(
      'nothing on %s breaks a rule',
      async (screen) => {
        found = []
        if (long) await walkStudy(open.page, open.studyId, visitAll, [screen])
        else {
          await show(open.page, screen, open.studyId)
          await visit(screen)
        }
        expect(found).toEqual([])
      },
      180_000,
    )

    test('the form of a new study, an open list, the finder and the keys break none', async () => {
      const { page } = open
      found = []
      await show(page, 'studies')
      await page.getByRole('button', { name: 'New study' }).click()
      await settled(page)
      await visit('new study')
      await page.getByRole('combobox').first().click()
      found.push(...(await findings(open, 'an open list', rulesOfLists)))
      await page.keyboard.press('Escape')
      await show(page, 'bench', open.studyId)
      for (const name of ['Find', 'Keys']) {
        await page.getByRole('navigation').getByRole('button', { name }).click()
        await settled(page)
        await visit(name)
        await page.keyboard.press('Escape')
      }
      expect(found).toEqual([])
    }, 60_000)
  })
})
