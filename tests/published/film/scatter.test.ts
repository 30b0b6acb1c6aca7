import { describe, expect, test } from 'vitest'
import { type ScatterSubstrate, whereScatterComesFrom } from '../../../shared/film/scatter.ts'
import { closeTo } from '../model/close-to.ts'
import { dataTable } from '../model/data-table.ts'

/** The data as films whose logarithms they are, so that the program's variances are those of the data over 10⁶. */
const film = (value: number) => Math.exp(value / 1000)

function scatter(substrates: ScatterSubstrate[], more: { repeatability?: number | null } = {}) {
  const answer = whereScatterComesFrom({
    substrates,
    radiusMm: 50,
    model: null,
    repeatability: null,
    ...more,
  })
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join('\n'))
  return answer.value
}
const alike = { setting: 'one', columns: {}, plateVisit: '' }
const place = { x: null, y: null }

function columnsOf(file: string) {
  const table = dataTable(file)
  const of = (name: string) => table.columns.find((column) => column.name === name)!.values
  return { rows: Array.from({ length: table.rows }, (_, row) => row), of }
}

// Littell, Milliken, Stroup & Wolfinger (1996), data set 4.4; standard deviations 11.398, 5.989 and 3.545 in Pinheiro &
// Bates (2000), p. 168. Balanced, so that the mean squares 1289.33 (7), 120.167 (16), 12.569 (48) give the exact values.
describe('oxide thickness: lots as sessions, wafers, sites', () => {
  const { rows, of } = columnsOf('oxide_thickness.csv')
  const byWafer = new Map<string, number[]>()
  for (const row of rows) {
    const wafer = `${of('lot')[row]} ${of('wafer')[row]}`
    byWafer.set(wafer, [...(byWafer.get(wafer) ?? []), row])
  }
  const found = scatter(
    [...byWafer].map(([wafer, own]) => ({
      ...alike,
      session: String(of('lot')[own[0]!]),
      wafer,
      readings: own.map((row) => ({ ...place, site: row, value: film(of('thickness')[row] as number) })),
    })),
  )

  test('standard deviations with their degrees of freedom', () => {
    expect(found.components.map(({ level, groups }) => [level, groups])).toEqual([
      ['session', 8],
      ['wafer', 24],
      ['site', 72],
    ])
    const expected = [11.3976834027, 5.98880127745, 3.54534123103]
    found.components.forEach(({ standardDeviation }, i) => {
      closeTo(1000 * standardDeviation, expected[i]!, 1e-9)
    })
    expect(found.components.map(({ df }) => df)).toEqual([7, 16, 48])
  })

  test('the uncertainty of the mean now, and with one more of each', () => {
    // 8 lots of 3 wafers of 3 sites: the error of the mean of the whole, 4.23171129 by nlme.
    expect(found.now.counts.map(({ count }) => count)).toEqual([8, 3, 3])
    closeTo(1000 * found.now.standardUncertainty, 4.23171129, 2e-8)
    const [lot, wafer, site] = [129.907186948854, 35.8657407407407, 12.5694444444444]
    const of = (a: number, b: number, c: number) => Math.sqrt(lot / a + wafer / (a * b) + site / (a * b * c))
    found.more.forEach(({ standardUncertainty }, i) => {
      closeTo(1000 * standardUncertainty, [of(9, 3, 3), of(8, 4, 3), of(8, 3, 4)][i]!, 1e-9)
    })
    expect(found.sentence).toBe(
      'Most of the scatter of a mean is between sessions (91 %): one more wafer or site would hardly narrow it. One more ' +
        'session would narrow it by 6 %.',
    )
  })
})

// NIST/SEMATECH e-Handbook 2.6.1 (MPC61.DAT): averages and standard deviations of six readings on six days, five wafers.
// Expected are the pooled standard deviations recomputed from the file: level 1 within a day (150 degrees of freedom),
// level 2 of the averages between days of a wafer (25), which holds a sixth of the first.
describe('resistivity gauge: days as wafers, readings as repeats, after the means of the specimens', () => {
  const { rows, of } = columnsOf('nist_gauge_resistivity.csv')
  // Six numbers of mean 0 whose squares sum to 5: the six readings are not in the file.
  const pattern = [-1, -1, -0.5, 0.5, 1, 1].map((value) => value * Math.sqrt(5 / 4.5))
  const levels: [number, number, number][] = [
    [1, 0.0951819940955, 0.0464030602439],
    [281, 0.103181962248, 0.036000991653],
    [283, 0.090462518942, 0.0502788822469],
    [2062, 0.105013765764, 0.049503380356],
    [2362, 0.0675089845872, 0.0333367024964],
  ]
  test.each(levels)('probe %i, first run', (probe, within, between) => {
    const own = rows.filter((row) => of('run')[row] === 1 && of('probe')[row] === probe)
    expect(own).toHaveLength(30)
    const found = scatter(
      own.map((row) => ({
        ...alike,
        setting: String(of('wafer')[row]),
        session: 'run 1',
        wafer: String(row),
        readings: pattern.map((by) => ({
          ...place,
          site: 1,
          value: film((of('average')[row] as number) + by * (of('stddev')[row] as number)),
        })),
      })),
    )
    const [day, repeat] = found.components
    expect(found.components.map(({ level, df }) => [level, df])).toEqual([
      ['wafer', 25],
      ['repeat', 150],
    ])
    const variance = between ** 2 - within ** 2 / 6
    if (variance > 0) {
      closeTo(1000 * repeat!.standardDeviation, within, 1e-8)
      closeTo(1000 * day!.standardDeviation, Math.sqrt(variance), 1e-7)
    } else {
      // At the edge the two are pooled: 25 and 150 degrees of freedom of one variance.
      expect(day!.standardDeviation).toBe(0)
      closeTo(
        1000 * repeat!.standardDeviation,
        Math.sqrt((25 * 6 * between ** 2 + 150 * within ** 2) / 175),
        1e-8,
      )
    }
    expect(found.problems.map(({ code }) => code)).toEqual(['sessionUnknown'])
  })
})
