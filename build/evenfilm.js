#!/usr/bin/env node
import { needNode } from './node-version.js'

needNode()

// The one verb that needs a bundle: the page.
if (process.argv[2] === 'serve' && !process.argv.includes('--help')) {
  const { bundle, stale } = await import('./bundle.js')
  await bundle(stale(['page']))
}
await import('../electron/cli.ts')
