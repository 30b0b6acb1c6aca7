import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { root } from './doors.ts'

/** Keeps a picture of the page below tests/shots/, to be looked at. */
export async function shot(page: Page, name: string): Promise<void> {
  const folder = join(root, 'tests/shots')
  await mkdir(folder, { recursive: true })
  await page.screenshot({ path: join(folder, `${name}.png`) })
}
