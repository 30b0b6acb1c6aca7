import { describe, expect, test } from 'vitest'
import { answerOf, data, evenfilmHere, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

/** Two wafers loaded three times by one person, scanned twice; a second gauge reads 3 and 5 nm more. */
const study = [
  ['A', '1', 1500.2, 1500.8],
  ['A', '2', 1501.9, 1502.3],
  ['A', '3', 1499.1, 1499.9],
  ['B', '1', 1531.0, 1530.4],
  ['B', '2', 1529.2, 1529.9],
  ['B', '3', 1532.5, 1532.1],
] as const
const linesOf = (gauge: string, more: Record<'A' | 'B', number>) =>
  study.flatMap(([wafer, reload, ...scans]) =>
    scans.map((value) => `${gauge},${wafer},${reload},${(value + more[wafer]).toFixed(1)}`),
  )
const head = 'gauge,wafer,reload,thickness (nm)'

describe('gauge', () => {
  test('a study in sentences and as a document', async () => {
    const file = fileWith([head, ...linesOf('G1', { A: 0, B: 0 })].join('\n'))
    const { gauges, bias } = await answerOf(
      ['gauge', file, '--tolerance', '30', '--share', '5%'],
      shapes.gauge,
    )
    expect(bias).toBeNull()
    expect(gauges[0]).toMatchObject({ n: 12, wafers: 2, loadings: 6, operators: 1 })
    expect(gauges[0]?.parts.map(({ name, df }) => [name, df === null ? null : Math.round(df)])).toEqual([
      ['repeatability', 6],
      ['reload', 4],
      ['wafers', 1],
      ['gauge', 4],
    ])
    expect(gauges[0]?.enough.map(({ share }) => share)).toEqual([0.05, 0.1, 0.3])
    const shown = await evenfilmHere(['gauge', file, '--tolerance', '30'])
    expect(shown.stdout).toMatch(/This gauge takes 14\s% \(8.6–39\s%\) of your tolerance/)
    expect(shown.stderr).toMatch(/at least 5 wafers/)
  })

  test('two gauges on the same wafers', async () => {
    const lines = [head, ...linesOf('one', { A: 0, B: 0 }), ...linesOf('other', { A: 3, B: 5 })]
    const { gauges, bias } = await answerOf(['gauge', fileWith(lines.join('\n'))], shapes.gauge)
    expect(gauges.map(({ gauge }) => gauge)).toEqual(['one', 'other'])
    expect(bias?.difference).toBeCloseTo(4, 9)
    // One degree of freedom: t 12.7062 (0.975) times √2 / √2.
    expect(bias?.interval[1]).toBeCloseTo(4 + 12.7062047, 6)
  })

  test('a check standard by day', async () => {
    const lines = ['day,thickness (nm)', '2026-03-03,500.9', '2026-03-02,501.2', '2026-03-04,501.5']
    const log = await answerOf(
      ['gauge', fileWith(lines.join('\n')), '--nominal', '500', '--uncertainty', '0.5'],
      shapes.checkLog,
    )
    expect(log.days.map(({ day }) => day)).toEqual(['2026-03-02', '2026-03-03', '2026-03-04'])
    expect(log.bias.value).toBeCloseTo(1.2, 9)
    expect(log.bias.standardUncertainty).toBeCloseTo(Math.hypot(0.3 / Math.sqrt(3), 0.5), 9)
    expect(log.problems.map(({ code }) => code)).toEqual(['tooFewDays'])
  })

  test('what cannot be answered, and what is no input', async () => {
    const once = fileWith('wafer,reload,thickness\nA,1,1500\nB,1,1510\n')
    expect(await refusalOf(['gauge', once])).toMatchObject({ exit: 1, codes: ['noReload'] })
    expect(await refusalOf(['gauge', data('trees.csv')])).toMatchObject({ exit: 2, codes: ['unknownColumn'] })
    const days = fileWith('day,thickness\n2026-02-31,500\n')
    expect(await refusalOf(['gauge', days, '--nominal', '500'])).toMatchObject({ exit: 2, codes: ['badDay'] })
    expect(await refusalOf(['gauge', days, '--uncertainty', '1'])).toMatchObject({ exit: 2 })
  })
})
