import { existsSync, mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { testFolder } from '../engine/engine-in-folder.ts'
import { evenfilmHere } from './evenfilm.ts'

test('several files, a substrate each, come into a study as one import, or none of them', async () => {
  const folder = join(testFolder(), 'in')
  mkdirSync(folder)
  const data = join(folder, 'a.db')
  const write = (name: string, text: string) => {
    writeFileSync(join(folder, name), text)
    return join(folder, name)
  }
  const map = (nm: number) => `x (mm);y (mm);thickness (nm)\n50;50;${nm},5\n90;50;${nm + 1},5\n`
  const files = [write('map_W1.csv', map(1500)), write('map_W2.csv', map(1490))]
  const options = ['--data', data, '--study', 'Maps', '--new', '--json']
  const bad = await evenfilmHere([
    'import',
    ...files,
    write('map_W3.csv', map(1480).replace('1480,5', '14..')),
    ...options,
  ])
  expect(bad.exit).toBe(2)
  expect(JSON.parse(bad.stdout).problems).toMatchObject([{ code: 'notANumber', row: 2 }])
  expect(bad.stderr).toContain('‘map_W3.csv’')
  const done = await evenfilmHere(['import', ...files, ...options])
  expect(done.exit).toBe(0)
  expect(JSON.parse(done.stdout)).toMatchObject({ runs: 2, readings: 4 })
  expect(existsSync(data)).toBe(true)
  const again = await evenfilmHere([
    'import',
    files[0] as string,
    '--data',
    data,
    '--study',
    'Maps',
    '--json',
  ])
  expect(JSON.parse(again.stdout).problems).toMatchObject([{ code: 'importedBefore' }])
  const wrong = await evenfilmHere([
    'import',
    ...files,
    '--data',
    data,
    '--study',
    'Maps',
    '--mapping',
    'None',
  ])
  expect(wrong.stderr).toContain('There is no mapping ‘None’')
})

test('a new study is made for the substrate of the file, and a known one keeps its own', async () => {
  const folder = join(testFolder(), 'in')
  mkdirSync(folder)
  const [data, file] = [join(folder, 'a.db'), join(folder, 'P1.csv')]
  // Counted from the lower left corner of a piece of 60 × 30 mm.
  writeFileSync(file, 'x (mm),y (mm),thickness (nm)\n30,15,1500\n55,25,1502\n5,5,1501\n59,15,1540\n')
  const size = ['--width', '60', '--height', '30', '--edge', '5']
  const study = ['--data', data, '--study', 'Pieces', '--json']
  const known = await evenfilmHere(['import', file, ...study, ...size])
  expect(JSON.parse(known.stdout).problems).toMatchObject([
    { message: '--width belongs to --new.' },
    { message: '--height belongs to --new.' },
    { message: '--edge belongs to --new.' },
  ])
  const done = await evenfilmHere(['import', file, ...study, '--new', ...size])
  expect(JSON.parse(done.stdout)).toMatchObject({
    readings: 4,
    flagged: [{ code: 'beyondEdge', row: 5, message: expect.stringContaining('1.0 mm from the edge') }],
  })
})

test('repeats come in where they are said to be such, and film sums up the file, its export and the study alike', async () => {
  const folder = join(testFolder(), 'repeats')
  mkdirSync(folder)
  const [data, file, out] = ['a.db', 'scans.csv', 'out.csv'].map((name) => join(folder, name)) as [
    string,
    string,
    string,
  ]
  const rows = [1500, 1510].flatMap((nm, wafer) =>
    [0, 20, -30].flatMap((x, i) => [-1, 1].map((by) => `W${wafer + 1},${i + 1},${x},0,${nm + i + by}`)),
  )
  writeFileSync(file, `run,site,x (mm),y (mm),thickness\n${rows.join('\n')}\n`)
  const study = ['--data', data, '--study', 'Scans']
  const refused = await evenfilmHere(['import', file, ...study, '--new', '--json'])
  expect(refused.exit).toBe(2)
  expect(JSON.parse(refused.stdout).problems[0]).toMatchObject({ code: 'repeatedSite', row: 3 })
  const options = ['--new', '--repeated', 'repeats', '--taken-after', 'bake', '--index', '1.6', '--json']
  const done = await evenfilmHere(['import', file, ...study, ...options])
  expect(JSON.parse(done.stdout)).toMatchObject({ runs: 2, readings: 12 })
  expect((await evenfilmHere(['export', ...study, '--readings', out])).exit).toBe(0)

  const ofFile = await evenfilmHere([
    'film',
    out,
    '--by',
    'run',
    '--diameter',
    '100',
    '--edge',
    '6',
    '--json',
  ])
  const ofStudy = await evenfilmHere(['film', 'Scans', '--data', data, '--json'])
  const [one, other] = [ofFile, ofStudy].map(({ stdout }) => JSON.parse(stdout))
  expect(one.substrates).toHaveLength(2)
  expect(one.substrates[0]).toMatchObject({ n: 3, mean: 1501, repeatability: { df: 3 } })
  expect(other.substrates).toEqual(one.substrates)
  // The file says no settings, so that nothing is known of what made the wafers differ.
  expect(other.scatter).toBeNull()
})
