import { describe, expect, test } from 'vitest'
import { answerOf, evenfilmHere, fileWith, refusalOf } from './evenfilm.ts'
import { shapes } from './shapes.ts'

/** Individuals of the NIST/SEMATECH e-Handbook, 6.3.2.2. */
const nist = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
const file = () =>
  fileWith(['reading,thickness (nm)', ...nist.map((value, i) => `${i + 1},${value}`)].join('\n'))

describe('drift', () => {
  test('the limits of the handbook’s individuals, rules and false alarms as a document', async () => {
    const series = await answerOf(['drift', file(), '--linear', '--rules', 'three'], shapes.drift)
    const { limits, alarms } = series.chart
    expect(limits).toMatchObject({ points: 10, provisional: true })
    expect(limits!.centre).toBeCloseTo(50.81, 10)
    expect(limits!.upper).toBeCloseTo(55.8041, 2)
    expect(alarms).toEqual([])
    expect(series.rules).toEqual(['beyond three'])
    expect(series.falseAlarms).toMatchObject({ among: 24 })
    expect(series.trend!.along).toBe('readings')
  })

  test('an event, in sentences: the change is that of R’s two-sample t', async () => {
    const args = ['drift', file(), '--linear', '--event', '6 fresh bottle']
    const [change] = (await answerOf(args, shapes.drift)).changes
    expect(change).toMatchObject({ reading: 6, before: 5, after: 5, events: ['fresh bottle'] })
    // R: t.test(c(51.2, 52.6, 52.4, 53.6, 52.1), c(49.6, 47.6, 49.9, 51.3, 47.8), var.equal = TRUE)
    expect(change!.change!.estimate).toBeCloseTo(3.14, 10)
    expect(change!.change!.interval[0]).toBeCloseTo(1.31111918376, 6)
    expect(change!.change!.interval[1]).toBeCloseTo(4.96888081624, 6)
    const { stdout } = await evenfilmHere(args)
    expect(stdout).toMatch(
      /fresh bottle: \+3\.14 nm \(\+1\.\d+ nm to \+4\.\d+ nm\) from the mean of 5 readings/,
    )
    expect(stdout).toMatch(/Limits from the first 10 readings.*provisional/)
  })

  test('what is wrong is said with its place', async () => {
    const refused = async (...args: string[]) => {
      const { exit, codes, text } = await refusalOf(['drift', ...args])
      return [exit, codes[0], text]
    }
    const short = fileWith('thickness\n1\n2\n3\n')
    const zero = fileWith('thickness\n1\n0\n')
    expect(await refused(file(), '--rules', 'three,none')).toEqual([
      2,
      'badOption',
      expect.stringContaining('‘none’'),
    ])
    expect(await refused(file(), '--event', 'bottle')).toEqual([
      2,
      'badOption',
      expect.stringContaining('--event'),
    ])
    expect(await refused(file(), '--limits', '11')).toEqual([
      2,
      'badOption',
      expect.stringContaining('10 readings'),
    ])
    expect(await refused(file(), '--limits', '3:5')).toEqual([
      2,
      'badOption',
      expect.stringContaining('as 14:24'),
    ])
    expect(await refused(zero)).toEqual([2, 'notPositive', expect.stringContaining('Row 3, thickness')])
    expect(await refused(short)).toEqual([1, 'tooFewReadings', expect.stringContaining('at least 5')])
  })

  test('a trend along the openings of the bottle', async () => {
    const lines = nist.map((_, i) => `${(100 * 1.0024 ** i * (i % 2 ? 1.002 : 0.998)).toFixed(4)},${3 * i}`)
    const path = fileWith(['thickness,openings', ...lines].join('\n'))
    const { trend } = await answerOf(['drift', path, '--along', 'openings'], shapes.drift)
    expect(trend!.along).toBe('openings')
    // 0.24 % a reading is 0.08 % an opening, with what the scatter adds.
    expect(trend!.interval[0]).toBeLessThan(0.0008)
    expect(trend!.interval[1]).toBeGreaterThan(0.0008)
    const { stdout } = await evenfilmHere(['drift', path, '--along', 'openings'])
    expect(stdout).toMatch(/A steady trend of \+0\.\d+ % an opening .* after ten openings\./)
  })

  test('limits from a stretch; a single column keeps its unit', async () => {
    const path = fileWith(['thickness (nm)', ...nist, ...nist.map((value) => value + 20)].join('\n'))
    const args = ['drift', path, '--linear', '--limits', '11:', '--event', '11 plate recalibrated']
    const { chart } = await answerOf(args, shapes.drift)
    expect(chart.limits).toMatchObject({ from: 11, to: 20, points: 10 })
    expect(chart.limits!.centre).toBeCloseTo(70.81, 10)
    const { stdout } = await evenfilmHere(args)
    expect(stdout).toMatch(/limits 65\.\d+ to 75\.\d+ nm\./)
    expect(stdout).toMatch(/plate recalibrated: \+[\d.]+ nm .* beyond the steady trend/)
  })
})
