import { writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import { parseArgs } from 'node:util'
import { distributionsReady } from '../../shared/model/distributions.ts'
import { type Figure, linesOf, ratioOf } from './figure.ts'
import { importFigures } from './import.ts'
import { keyFigures } from './keys.ts'
import { largeStudyFigures } from './large-study.ts'
import { refitFigures } from './refit.ts'
import { reportFigures } from './report.ts'
import { startFigures } from './start.ts'

/**
 * Speed, memory and size as ratios to a named baseline measured in the same run, at several sizes each:
 * `npm run bench [-- NAME … ] [-- --json FILE]` prints a table and writes the figures as JSON. Names are those of
 * `parts`; without one all are measured. Start and keys need the bundles of dist/, an Electron and a Chromium.
 */
const parts: Record<string, () => Promise<Figure[]>> = {
  start: startFigures,
  import: importFigures,
  study: largeStudyFigures,
  keys: keyFigures,
  refit: refitFigures,
  report: reportFigures,
}

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { json: { type: 'string' } },
})
const unknown = positionals.filter((name) => !(name in parts))
if (unknown.length > 0) {
  console.error(
    `Nothing is measured under ${unknown.join(', ')}; there are ${Object.keys(parts).join(', ')}.`,
  )
  process.exit(2)
}

await distributionsReady
const figures: Figure[] = []
for (const name of positionals.length > 0 ? positionals : Object.keys(parts)) {
  console.error(`${name} …`)
  const found = await (parts[name] as () => Promise<Figure[]>)()
  figures.push(...found)
  for (const line of linesOf(found)) console.log(line)
}
if (values.json !== undefined) {
  const machine = { processor: cpus()[0]?.model, processors: cpus().length, node: process.version }
  const rows = figures.map((figure) => ({ ...figure, ratio: ratioOf(figure) }))
  writeFileSync(values.json, `${JSON.stringify({ machine, figures: rows }, null, 1)}\n`)
}
