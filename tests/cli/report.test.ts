import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { testFolder } from '../engine/engine-in-folder.ts'
import { evenfilmHere } from './evenfilm.ts'

test('the report of an imported study is a document, with its tables as files beside it', async () => {
  const folder = testFolder()
  const [data, out, csv] = ['a.db', 'report.html', 'tables'].map((name) => join(folder, name)) as [
    string,
    string,
    string,
  ]
  const speeds = [2000, 2500, 3000, 3500, 4000, 4500]
  const rows = speeds.flatMap((rpm, i) =>
    [0, 1].map(
      (k) =>
        `R${2 * i + k};${rpm};${(1500 * Math.sqrt(3250 / rpm) * (1 + 0.002 * (-1) ** (i + k))).toFixed(1)}`,
    ),
  )
  const file = join(folder, 'runs.csv')
  writeFileSync(file, `run;speed (rpm);thickness (nm)\n${rows.join('\n')}\n`)
  const study = ['--data', data, '--study', 'Sweep']
  expect((await evenfilmHere(['import', file, ...study, '--new'])).exit).toBe(0)
  const done = await evenfilmHere([
    'report',
    ...study,
    '--out',
    out,
    '--csv',
    csv,
    '--parts',
    'fits,aim,readings',
    '--json',
  ])
  expect(done.stderr).toBe('')
  expect(done.exit).toBe(0)
  expect(JSON.parse(done.stdout).files).toHaveLength(5)
  const text = readFileSync(out, 'utf8')
  expect([...text.matchAll(/<section id="(\w+)"/g)].map((match) => match[1])).toEqual([
    'fits',
    'aim',
    'readings',
  ])
  expect(text).toMatch(/^<!doctype html>/)
  // The estimate of the exponent stands in the document as in the file.
  const terms = readFileSync(join(csv, 'Sweep fit terms.csv'), 'utf8')
  const estimate = Number(/^log\(speed\),([-\d.]+),/m.exec(terms)?.[1])
  expect(estimate).toBeCloseTo(-0.5, 2)
  expect(text).toContain(Math.abs(estimate).toFixed(3))
  expect(readdirSync(csv).sort()).toEqual(
    ['fit terms', 'ledger', 'readings', 'runs'].map((what) => `Sweep ${what}.csv`),
  )
})

test('a part that there is none of, and a report to nowhere, are refused', async () => {
  const study = ['--data', join(testFolder(), 'none.db'), '--study', 'Sweep']
  const wrong = await evenfilmHere([
    'report',
    ...study,
    '--out',
    'x.html',
    '--parts',
    'aim,summary',
    '--json',
  ])
  expect(wrong.exit).toBe(2)
  expect(JSON.parse(wrong.stdout).problems).toMatchObject([{ code: 'unknownPart', column: 'parts' }])
  expect((await evenfilmHere(['report', ...study])).exit).toBe(2)
  expect((await evenfilmHere(['report', '--help'])).stdout).toContain(
    'A PDF with page numbers is saved from the window',
  )
})
