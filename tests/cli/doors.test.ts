import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test, vi } from 'vitest'
import { z } from 'zod'
import { main } from '../../electron/cli/main.ts'
import { problem } from '../../shared/contract/results/problem.ts'
import {
  answerOf,
  data,
  documentOf,
  evenfilm,
  evenfilmHere,
  evenfilmUntil,
  fileWith,
  folder,
  refusalOf,
} from './evenfilm.ts'
import { shapes } from './shapes.ts'

describe('the command line itself', () => {
  test('help lists the verbs, and each verb its options', async () => {
    const whole = await evenfilm(['--help'])
    expect(whole.exit).toBe(0)
    const verbs = [...whole.stdout.matchAll(/^ {2}(\w+) {2}/gm)].map((match) => match[1] ?? '')
    expect(verbs).toEqual(
      'plan check film trace gauge fit next compare drift import export bring backup verify report serve demo'.split(
        ' ',
      ),
    )
    for (const verb of verbs) {
      const ended = await evenfilmHere([verb, '--help'])
      expect(ended).toMatchObject({ exit: 0, stderr: '' })
      expect(ended.stdout).toContain(`evenfilm ${verb}`)
      expect(ended.stdout).toContain('--json')
    }
  })

  test('the version is that of the package', async () => {
    const text = readFileSync(join(import.meta.dirname, '../../package.json'), 'utf8')
    const ended = await evenfilm(['--version'])
    expect(ended).toMatchObject({ exit: 0, stdout: `${(JSON.parse(text) as { version: string }).version}\n` })
  })

  test('an unknown verb, or none, is exit 2', async () => {
    expect(await refusalOf(['coat'])).toMatchObject({ exit: 2, codes: ['unknownVerb'] })
    const none = await evenfilmHere([])
    expect(none).toMatchObject({ exit: 2, stdout: '' })
  })

  test('as a process: 0 with an answer, 1 without one, 2 for bad input, one document on standard output', async () => {
    const file = data('upenn_resist_spin_curve.csv')
    const next = ['next', file, '--model', 'log(thickness) ~ log(rpm)', '--factor', 'rpm=500:6000', '--json']
    const [answer, none, bad] = await Promise.all([
      evenfilm([...next, '--target', '0.6', '--tolerance', '0.02']),
      evenfilm([...next, '--target', '6', '--tolerance', '0.02']),
      evenfilm([...next, '--target', 'thick', '--tolerance', '0.02']),
    ])
    expect([answer.exit, none.exit, bad.exit]).toEqual([0, 1, 2])
    documentOf(answer, shapes.next)
    for (const refusal of [none, bad])
      expect(documentOf(refusal, z.object({ problems: z.array(problem) })).problems).toHaveLength(1)
  })

  test('a Node that is too old is told so in one line, before the database library is loaded', async () => {
    const older = 'Object.defineProperty(process,"versions",{value:{...process.versions,node:"22.17.0"}})'
    const ended = await evenfilm(['--version'], { node: ['--import', `data:text/javascript,${older}`] })
    expect(ended).toMatchObject({
      exit: 2,
      stdout: '',
      stderr: 'evenfilm needs Node 22.18 or newer; this is Node 22.17.0.\n',
    })
  })

  test('a defect is exit 70 and one line', async () => {
    const { check } = await import('../../electron/cli/check.ts')
    const run = vi.spyOn(check, 'run').mockRejectedValue(new Error('the chuck came off\nat speed'))
    const error = vi.spyOn(process.stderr, 'write').mockReturnValue(true)
    try {
      expect(await main(['check', '--bake', '100, 60'])).toBe(70)
      expect(error.mock.calls).toEqual([['evenfilm: a defect of the program: the chuck came off\n']])
    } finally {
      run.mockRestore()
      error.mockRestore()
    }
  })
})

describe('import and export', () => {
  const imported = z.object({
    importId: z.uuid(),
    runs: z.number(),
    readings: z.number(),
    warnings: z.array(z.unknown()),
    corrected: z.array(z.unknown()),
    flagged: z.array(z.unknown()),
    leftAside: z.array(z.unknown()),
  })

  test('runs and readings go in, come out, and go in again without loss', async () => {
    const at = folder()
    const [db, runs, readings] = ['study.db', 'runs.csv', 'readings.csv'].map((name) => join(at, name)) as [
      string,
      string,
      string,
    ]
    const plan = fileWith('run,speed (rpm),lot\nW01,2000,A\nW02,3000,=B\n')
    const film = fileWith('run,site,thickness (nm)\nW01,1,1934.4\nW01,2,1931\nW02,1,1560\nW02,2,0\n')
    const into = (file: string, data: string, ...more: string[]) =>
      answerOf(['import', file, '--data', data, '--study', 'Sweep', ...more], imported)
    expect(await into(plan, db, '--new')).toMatchObject({ runs: 2, readings: 0 })
    const taken = await into(film, db)
    expect(taken).toMatchObject({ readings: 4 })
    expect(taken.flagged).toHaveLength(1)
    const out = ['export', '--data', db, '--study', 'Sweep', '--runs', runs, '--readings', readings]
    const history = join(at, 'history.csv')
    expect((await evenfilmHere([...out, '--history', history])).exit).toBe(0)
    expect(readFileSync(history, 'utf8')).toContain('added,,,"2 runs, 0 readings",')
    const text = readFileSync(runs, 'utf8')
    expect(text).toContain("'=B")

    const again = join(at, 'again.db')
    await into(runs, again, '--new')
    await into(readings, again)
    const [runs2, readings2] = [join(at, 'runs2.csv'), join(at, 'readings2.csv')]
    await evenfilmHere([
      'export',
      '--data',
      again,
      '--study',
      'Sweep',
      '--runs',
      runs2,
      '--readings',
      readings2,
    ])
    const measured = (path: string, column: string) => {
      const [header = '', ...rows] = readFileSync(path, 'utf8').trim().split('\r\n')
      const place = header.replace('\uFEFF', '').split(',').indexOf(column)
      return rows.map((row) => row.split(',')[place])
    }
    for (const column of ['run', 'lot', 'speed (rpm)', 'thickness (nm)'])
      expect(measured(runs2, column)).toEqual(measured(runs, column))
    expect(measured(readings2, 'value')).toEqual(measured(readings, 'value'))
    expect(measured(readings2, 'value')).toEqual(['1934.4', '1931', '1560', '0'])
  })

  test('a bad row keeps the whole file out, and the study that was made for it', async () => {
    const db = join(folder(), 'study.db')
    const slip = fileWith('run,site,thickness (nm)\nW01,1,1500\nW01,2,12..5\n')
    const refusal = await refusalOf(['import', slip, '--data', db, '--study', 'Sweep', '--new'])
    expect(refusal.exit).toBe(2)
    expect(refusal.text).toContain('Row 3')
    const none = await refusalOf(['export', '--data', db, '--study', 'Sweep', '--runs', `${db}.csv`])
    expect(none).toMatchObject({ exit: 2, codes: ['noSuchStudy'] })
  })

  test('a database that is not there is not made by accident', async () => {
    const db = join(folder(), 'none.db')
    const plan = fileWith('run,speed\nW01,2000\n')
    expect(await refusalOf(['import', plan, '--data', db, '--study', 'S'])).toMatchObject({
      exit: 2,
      codes: ['noSuchFile'],
    })
    expect(await refusalOf(['export', '--data', db, '--study', 'S', '--runs', 'x'])).toMatchObject({
      exit: 2,
    })
    expect(await refusalOf(['export', '--data', db, '--study', 'S'])).toMatchObject({
      codes: ['missingOption'],
    })
  })
})

test('serve prints one address of this machine, and ends when it is asked to', async () => {
  const served = evenfilmUntil(['serve', '--data', join(folder(), 'served.db'), '--json'], /\n/)
  const { address } = z.strictObject({ address: z.url() }).parse(JSON.parse(await served.seen))
  expect(new URL(address).hostname).toBe('127.0.0.1')
  expect((await fetch(address, { redirect: 'manual' })).status).toBeLessThan(400)
  const { origin } = new URL(address)
  expect((await fetch(`${origin}/`, { redirect: 'manual' })).status).toBeGreaterThanOrEqual(400)
  expect(await served.stop()).toBe(0)
})

test('demo runs the whole job on an invented film, and its files go through the other verbs', async () => {
  const out = folder()
  const ended = await evenfilm(['demo', '--out', out])
  expect(ended.exit).toBe(0)
  expect(ended.stdout).toContain('An invented film, simulated')
  const report = readFileSync(join(out, 'report.html'), 'utf8')
  expect(report).toContain('the film of this study is invented; no number here was measured')
  const read = (name: string) => JSON.parse(readFileSync(join(out, name), 'utf8')) as unknown
  const fit = shapes.fit.parse(read('fit.json'))
  const { choices } = shapes.next.parse(read('next.json'))
  shapes.compare.parse(read('compare.json'))
  // The same seed, the same folder; the films of the readings are those of the report.
  const films = await answerOf(
    ['film', join(out, 'readings.csv'), '--by', 'run', '--diameter', '100', '--edge', '6'],
    shapes.film,
  )
  const written = shapes.film.parse(read('film.json'))
  expect(films.substrates.map(({ id, mean }) => [id, mean])).toEqual(
    written.substrates.map(({ id, mean }) => [id, mean]),
  )
  // Generator: 3280 rpm, 40 s, 100 °C gives 1500 nm on average over days; one day adds 0.5 % (1 σ).
  expect(Math.abs((choices[0]?.estimate ?? 0) - 1500)).toBeLessThan(10)
  expect(fit.n).toBe(18)
  expect(fit.residualStandardDeviation).toBeLessThan(0.01)
})
