import type { Page } from 'playwright-core'
import { expect } from 'vitest'

/** A way to work the page: presses what has a name, puts text into a field, chooses a tab, goes to a screen. */
export type Hand = {
  name: string
  press(name: RegExp): Promise<void>
  enter(label: string, text: string): Promise<void>
  chooseTab(name: string): Promise<void>
  go(screen: string): Promise<void>
  /** The readings of a film, site by site from the first on, then on to the next run where there is one. */
  readFilm(texts: readonly string[]): Promise<void>
}

const screens = ['Studies', 'Plan', 'Bench', 'Curves', 'Next', 'Lots', 'Report']

/** The name of what has the cursor, as it is read out: its label, else what it says. */
const focused = (page: Page) =>
  page.evaluate(() => {
    const it = document.activeElement
    const label = it?.id ? document.querySelector(`label[for="${it.id}"]`) : null
    return [it?.getAttribute('aria-label'), label?.textContent, it?.textContent].find(Boolean)?.trim() ?? ''
  })

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')

/** The keyboard alone: Tab, Enter, arrows and the keys of the page, from wherever the cursor is. */
export function keyboard(page: Page): Hand & { tabTo(name: RegExp): Promise<void> } {
  const tabTo = async (name: RegExp) => {
    for (let presses = 0; presses < 250; presses++) {
      if (name.test(await focused(page))) return
      await page.keyboard.press('Tab')
    }
    throw new Error(`No Tab leads to ${name}.`)
  }
  const press = async (name: RegExp) => {
    // What appears a moment later is reached on the next round.
    await tabTo(name)
    await page.keyboard.press('Enter')
  }
  return {
    name: 'keyboard',
    tabTo,
    press,
    async enter(label, text) {
      await tabTo(new RegExp(`^${escaped(label)}$`))
      await page.keyboard.press('Control+a')
      await page.keyboard.type(text)
    },
    async chooseTab(name) {
      const wanted = new RegExp(`^${escaped(name)}$`)
      const labels = await page.getByRole('tab').allInnerTexts()
      await tabTo(new RegExp(`^(?:${labels.map(escaped).join('|')})$`))
      for (let presses = 0; presses < 20 && !wanted.test(await focused(page)); presses++)
        await page.keyboard.press('ArrowRight')
      expect(await focused(page)).toMatch(wanted)
    },
    async go(screen) {
      await page.keyboard.press(`Alt+Shift+Digit${screens.indexOf(screen) + 1}`)
    },
    async readFilm(texts) {
      await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe('site-1')
      for (const text of texts) {
        await page.keyboard.type(text)
        await page.keyboard.press('Enter')
      }
      await expect.poll(() => focused(page)).toMatch(/^Next run/)
      await page.keyboard.press('Enter')
    },
  }
}

/** The mouse alone, but for what has to be typed into a field that it has chosen. */
export function mouse(page: Page): Hand {
  const press = (name: RegExp) => page.locator('main').getByRole('button', { name }).first().click()
  return {
    name: 'mouse',
    press,
    async enter(label, text) {
      await page.getByLabel(label, { exact: true }).click({ clickCount: 3 })
      await page.keyboard.type(text)
    },
    chooseTab: (name) => page.locator('main').getByRole('tab', { name, exact: true }).click(),
    go: (screen) => page.getByRole('navigation').first().getByText(screen, { exact: true }).click(),
    async readFilm(texts) {
      for (const [i, text] of texts.entries()) {
        await page.getByLabel(`Site ${i + 1}`, { exact: true }).click()
        await page.keyboard.type(text)
      }
      await press(/^Next run/)
    },
  }
}
