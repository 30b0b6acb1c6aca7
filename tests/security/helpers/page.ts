import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** A small page in a folder of its own, with a file beside it that nobody may reach; the page's folder. */
export function makePage(folder: string): string {
  const page = join(folder, 'page')
  mkdirSync(join(page, 'assets'), { recursive: true })
  writeFileSync(
    join(page, 'index.html'),
    '<!doctype html><meta property="csp-nonce" nonce="nonce-of-this-load">',
  )
  writeFileSync(join(page, 'assets/page.js'), 'let a')
  writeFileSync(join(folder, 'secret.js'), 'let secret')
  return page
}
