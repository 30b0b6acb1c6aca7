#!/usr/bin/env node
import { needNode } from './node-version.js'

needNode()

// The one verb that needs bundles: the page, and the engine as it belongs to it.
if (process.argv[2] === 'serve' && !process.argv.includes('--help')) {
  const { bundle, stale } = await import('./bundle.js')
  await bundle(stale(['page', 'engine', 'worker']))
}
await import('../electron/cli.ts')
