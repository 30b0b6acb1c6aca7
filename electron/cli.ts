#!/usr/bin/env node
// Older versions of Node end without a word when they load the database library, so nothing that does is
// imported before the version has been looked at.
const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
if (major < 22 || (major === 22 && minor < 18)) {
  process.stderr.write(`evenfilm needs Node 22.18 or newer; this is Node ${process.versions.node}.\n`)
  process.exitCode = 2
} else {
  // A reader that has had enough (`| head`) is no defect.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : 70))
  const { main } = await import('./cli/main.ts')
  process.exitCode = await main(process.argv.slice(2))
}

export {}
