import { screenNames, screens } from '../../renderer/stores/screens.ts'

/**
 * Ways through the page for whoever looks at all of it: the pictures and the tests of accessibility. A view is a screen
 * with its tabs chosen, or with a dialog over it.
 */
export { screens }
export const themes = ['light', 'dark', 'bay']

/** Waits until nothing has been busy for 300 ms. */
export const settled = (page) =>
  page.evaluate(async () => {
    const end = performance.now() + 60_000
    for (let quiet = 0; quiet < 6; quiet++) {
      await new Promise((done) => setTimeout(done, 50))
      const busy = document.querySelector('[aria-busy="true"]')
      if (busy) quiet = -1
      if (performance.now() > end) throw new Error(`Still busy after a minute: ${busy?.textContent}`)
    }
  })

/** Goes to a screen, of a study where one is named, and waits until it has settled. */
export async function show(page, screen, studyId = null) {
  await page.evaluate(
    (hash) => {
      location.hash = hash
    },
    studyId === null ? screen : `${screen}/${studyId}`,
  )
  await page.locator(`main[aria-label="${screenNames[screen]}"] > :not([aria-busy="true"])`).first().waitFor()
  await settled(page)
}

const slug = (words) =>
  words
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')

/**
 * Chooses every tab of what is shown, tabs within tabs too, and calls `visit(name)` at each view; without tabs, once.
 *
 * @param within selector of the part whose tabs are walked
 */
async function walkTabs(page, visit, name, within = 'main') {
  const lists = await page.evaluate((selector) => {
    const part = document.querySelector(selector)
    return [...part.querySelectorAll('[role=tablist]')]
      .filter((list) => {
        const panel = list.parentElement?.closest('[role=tabpanel]')
        return !panel || panel === part || !part.contains(panel)
      })
      .map((list) =>
        [...list.querySelectorAll('[role=tab]')].map((tab) => ({
          id: tab.id,
          words: tab.textContent.trim(),
          panel: tab.getAttribute('aria-controls'),
        })),
      )
  }, within)
  if (lists.length === 0) return visit(name)
  for (const [at, list] of lists.entries()) {
    // The first tab of a further list was open while those of the list before were walked.
    for (const tab of at === 0 ? list : list.slice(1)) {
      await page.locator(`[id="${tab.id}"]`).click()
      await settled(page)
      await walkTabs(page, visit, `${name}-${slug(tab.words)}`, `[id="${tab.panel}"]`)
    }
  }
}

/** Opens each dialog that a button of the view promises by ‘…’ behind its words, calls `visit(name)`, and leaves it. */
export async function walkDialogs(page, visit, name) {
  const buttons = page.locator('main button:enabled:visible').filter({ hasText: /…\s*$/ })
  const words = [...new Set((await buttons.allTextContents()).map((each) => each.trim()))]
  for (const each of words.filter((each) => !each.includes('as CSV'))) {
    const button = buttons.filter({ hasText: each }).first()
    if ((await button.count()) === 0) continue
    await button.click()
    await settled(page)
    if ((await page.getByRole('dialog').count()) === 0) continue
    await visit(`${name}-${slug(each)}`)
    await page.keyboard.press('Escape')
    await page.getByRole('dialog').waitFor({ state: 'detached' })
  }
}

/** Calls `visit(name)` at every view of every screen of a study. */
export async function walkStudy(page, studyId, visit, only = screens) {
  for (const screen of only) {
    await show(page, screen, studyId)
    await walkTabs(page, visit, screen)
  }
}
