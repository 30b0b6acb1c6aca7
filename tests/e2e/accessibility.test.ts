import type { RunOptions } from 'axe-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
// @ts-expect-error: build/ is plain JavaScript
import { settled, show, themes, walkDialogs, walkStudy } from '../../build/shots/walk.js'
import { screens as allScreens } from '../../renderer/stores/screens.ts'
import { axe, brokenRules, everyRule } from './helpers/axe.ts'
import { browserFirst, type Door } from './helpers/doors.ts'
import { openStudy, type StudyOpen } from './helpers/study.ts'

/** An option is named by its word alone; the sentence below it, when to choose it, is its description. */
const rulesOfLists: RunOptions = { rules: { 'label-content-name-mismatch': { enabled: false } } }
/** Themes differ in their colours alone. */
const colours: RunOptions = { runOnly: ['color-contrast'] }

/** Every tab, dialog and theme is for the long count; the pairs of colours of each theme are held by a unit test too. */
const long = Boolean(process.env.EVENFILM_TEST_LONG)
/** The other screens are looked through on the way of hands.test.ts. */
const screens = long ? allScreens : ['lots']
const themesHere: string[] = long ? themes : ['light']

/** Runs axe in the themes, in what is open over the page or else in the page; what it finds, with view, rule and place. */
async function findings({ page }: StudyOpen, view: string, rules = everyRule): Promise<string[]> {
  const found: string[] = []
  for (const theme of themesHere) {
    await page.evaluate((name) => {
      document.documentElement.dataset.theme = name
    }, theme)
    for (const broken of await brokenRules(page, theme === 'light' ? rules : colours))
      found.push(`${theme} ${view}: ${broken}`)
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

    test.each(screens)(
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

    test.runIf(long)(
      'the form of a new study, an open list, the finder and the keys break none',
      async () => {
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
      },
      60_000,
    )
  })
})
