import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { AxeResults, RunOptions } from 'axe-core'
import type { Page } from 'playwright-core'

/** The engine of the rules, as text to be run in a page. */
export const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** Every rule that axe has switched on, best practices too, and the size of targets of WCAG 2.2 beside them. */
export const everyRule: RunOptions = { rules: { 'target-size': { enabled: true } } }

type WithAxe = { axe: { run(part: Element | Document, options: RunOptions): Promise<AxeResults> } }

/** What breaks a rule in what is open over the page, or else in the page: rule, place and why. The page holds {@link axe}. */
export async function brokenRules(page: Page, rules = everyRule): Promise<string[]> {
  const { violations } = await page.evaluate((options) => {
    const part = document.querySelector('.select-list') ?? document.querySelector('[role=dialog]') ?? document
    return (window as unknown as WithAxe).axe.run(part, options)
  }, rules)
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ target, any, all, none }) => `${id} at ${target}: ${[...any, ...all, ...none][0]?.message}`),
  )
}
