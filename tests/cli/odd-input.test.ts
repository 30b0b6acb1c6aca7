import { describe, expect, test } from 'vitest'
import { printTable } from '../../electron/cli/print.ts'
import { answerOf, evenfilmHere, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

const runs = [
  [1000, 1500],
  [2000, 1100],
  [3000, 900],
  [4000, 780],
  [5000, 700],
  [1500, 1250],
  [2500, 980],
]

/** The runs in a file whose first column has this header. */
const fileOf = (header: string) =>
  fileWith(`${[`${header},thickness`, ...runs.map((row) => row.join(','))].join('\n')}\n`)

describe('columns with the names of properties that every object has', () => {
  test.each(['constructor', 'toString', 'hasOwnProperty'])('%s', async (name) => {
    const file = fileOf(name)
    const model = `log(thickness) ~ log(${name})`
    const fit = await answerOf(['fit', file, '--model', model, '--at', `${name}=3500`], shapes.fit)
    expect(fit.terms.map(({ term }) => term)).toEqual(['constant', `log(${name})`])
    expect(fit.predictions).toHaveLength(1)
    const robust = await answerOf(['fit', file, '--model', model, '--robust', 'huber'], shapes.fit)
    expect(robust.terms).toHaveLength(2)
    const surface = await answerOf(['fit', file, '--model', model, '--surface', 'gp'], shapes.fit)
    expect(surface.surface?.lengths).toHaveLength(1)
  })

  test('__proto__', async () => {
    const fit = ['fit', fileOf('__proto__'), '--model', 'thickness ~ __proto__']
    expect((await answerOf([...fit, '--robust', 'huber'], shapes.fit)).terms[1]?.term).toBe('__proto__')
    expect((await evenfilmHere([...fit, '--at', '__proto__=3500'])).stdout).toContain('__proto__ 3500')
  })

  test.each(['constructor', '__proto__'])('%s as a column of names, and as groups', async (name) => {
    const rows = ['q,a,3', 'q,a,3.1', 'q,b,4', 'q,b,4.1', 'r,a,4.5', 'r,b,4.9', 'r,a,3.3', 'r,b,4.4']
    const file = fileWith(`g,${name},thickness\n${rows.join('\n')}\n`)
    const names = ['fit', file, '--model', `thickness ~ ${name}`]
    const { stdout } = await evenfilmHere([...names, '--at', `${name}=b`, '--json'])
    // The mean of the four readings at b.
    expect(JSON.parse(stdout).predictions[0].estimate).toBeCloseTo((4 + 4.1 + 4.9 + 4.4) / 4, 12)
    // Without a level it is a level that is missing, not one of every object's properties that is unknown.
    expect((await refusalOf([...names, '--at', 'g=q'])).text).toContain(`${name} needs a level.`)
    const groups = ['fit', file, '--model', 'thickness ~ g', '--random', name]
    const alone = await answerOf(groups, shapes.fit)
    expect(alone.varianceComponents[0]).toMatchObject({ group: name, source: 'estimated' })
    const stated = await answerOf([...groups, '--stated', `${name}=0.5/4`], shapes.fit)
    expect(stated.varianceComponents[0]).toMatchObject({ group: name, source: 'stated' })
  })

  test('as factors of a plan with combinations left out', async () => {
    const factors = ['--factor', 'constructor=1:5:5', '--factor', 'time=1:2']
    const plan = await answerOf(['plan', ...factors, '--forbid', 'constructor > 4 and time > 1'], shapes.plan)
    expect(plan.runs).toHaveLength(9)
  })
})

test('a cell that holds no number is said to, whatever it holds instead', async () => {
  const file = fileWith('speed,thickness\nNaN,3\n2,over\nInfinity,3\n,3\n3,4\n4,6\n5,7\n')
  const { problems } = await answerOf(['fit', file, '--model', 'thickness ~ speed'], shapes.fit)
  expect(problems.map(({ message }) => message).slice(0, 4)).toEqual([
    'Row 2 is left out: its speed holds no number.',
    'Row 3 is left out: its thickness holds no number.',
    'Row 4 is left out: its speed holds no number.',
    'Row 5 is left out: its speed holds no number.',
  ])
})

test('a factor with quotes in its name is found as the formula writes it', async () => {
  const file = fileOf('"sp""eed"')
  const next = [file, '--model', 'thickness ~ "sp""eed"', '--target', '1000', '--tolerance', '200']
  const { choices } = await answerOf(['next', ...next, '--factor', '"sp""eed"=1000:5000'], shapes.next)
  expect(choices[0]?.settings).toHaveProperty(['sp"eed'])
})

describe('combinations to leave out', () => {
  const plan = (forbid: string) => ['plan', '--factor', 'a=0:4:5', '--factor', 'b=0:1', '--forbid', forbid]

  test('brackets nested without end', async () => {
    const deep = `${'('.repeat(20000)}a > 1${')'.repeat(20000)}`
    for (const text of [deep, `${'not '.repeat(20000)} a > 1`]) {
      const refusal = await refusalOf(plan(text))
      expect(refusal).toMatchObject({ exit: 2, codes: ['forbid'] })
      expect(refusal.text).toContain('too deep')
    }
  })

  test('a list without end, and brackets side by side', async () => {
    const long = `(a > 3 and b > 0)${' or (a > 3 and b > 0)'.repeat(2000)}`
    expect((await answerOf(plan(long), shapes.plan)).runs).toHaveLength(9)
  })
})

test('a bake below absolute zero', async () => {
  const ended = await evenfilmHere(['check', '--bake', '-300 degC, 60 s', '--json'])
  expect(ended.exit).toBe(2)
  expect(JSON.parse(ended.stdout)).toMatchObject({ ok: false, problems: [{ code: 'badBake' }] })
  expect(ended.stderr).toContain('-300 degC')
})

test('a trace too high to compute with', async () => {
  const height = (i: number) => (i > 60 && i < 120 ? '1e308' : '-1e308')
  const lines = Array.from({ length: 200 }, (_, i) => `${i},${height(i)}`)
  const file = fileWith(`${['position,height', ...lines].join('\n')}\n`)
  expect(await refusalOf(['trace', file, '--step', '60:120'])).toMatchObject({
    exit: 2,
    codes: ['notANumber'],
  })
})

test('a surface through more runs than it can carry', async () => {
  const lines = Array.from({ length: 501 }, (_, i) => `${i},${i % 7}`)
  const file = fileWith(`${['x,y', ...lines].join('\n')}\n`)
  const refusal = await refusalOf(['fit', file, '--model', 'y ~ x', '--surface', 'gp'])
  expect(refusal).toMatchObject({ exit: 2, codes: ['tooManyRuns'] })
})

test('a table of two hundred thousand rows is set in columns', () => {
  const rows = Array.from({ length: 200_000 }, (_, i) => [String(i)])
  expect(printTable(['row'], rows).length).toBeGreaterThan(1_000_000)
})
