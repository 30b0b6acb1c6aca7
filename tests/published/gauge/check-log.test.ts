import { describe, expect, test } from 'vitest'
import { analyseCheckLog } from '../../../shared/gauge/check-log.ts'
import { dataTable } from '../model/data-table.ts'

function analysed(...args: Parameters<typeof analyseCheckLog>) {
  const answer = analyseCheckLog(...args)
  if (!answer.ok) throw new Error(answer.problems[0]?.message)
  return answer.value
}

describe('NIST/SEMATECH e-Handbook 2.6.2, a check standard on 25 occasions of six readings', () => {
  const columns = dataTable('nist_check_standard.csv').columns
  const numbers = (name: string) => columns.find((one) => one.name === name)?.values.map(Number) ?? []
  const scatter = numbers('stddev')
  const day = (i: number) => new Date(Date.UTC(2026, 0, 1 + i)).toISOString().slice(0, 10)
  const six = [-5, -3, -1, 1, 3, 5].map((step) => step / Math.sqrt(14))
  const readings = numbers('value').flatMap((average, i) =>
    six.map((step) => ({ day: day(i), value: average + (scatter[i] ?? 0) * step })),
  )
  const log = analysed(readings, { nominalNm: 97, uncertaintyNm: 0.02 })

  test('mean, level-1 and level-2 standard deviation', () => {
    expect(log.mean).toBeCloseTo(97.06984, 10)
    expect(log.longTerm?.value).toBeCloseTo(0.0267981342634, 10)
    expect(log.longTerm?.df).toBe(24)
    expect(log.shortTerm?.value).toBeCloseTo(0.0613879466997, 10)
    expect(log.shortTerm?.df).toBe(125)
  })

  test('the bias with the uncertainty of the certificate in it', () => {
    expect(log.bias.value).toBeCloseTo(0.06984, 10)
    expect(log.bias.standardUncertainty).toBeCloseTo(Math.hypot(0.0267981342634 / 5, 0.02), 10)
    // Welch–Satterthwaite: only the mean of 25 days has degrees of freedom.
    expect(log.bias.df).toBeCloseTo(
      (log.bias.standardUncertainty ?? 0) ** 4 / ((0.0267981342634 / 5) ** 4 / 24),
      6,
    )
    const days = Math.sqrt(0.0267981342634 ** 2 - 0.0613879466997 ** 2 / 6)
    expect(log.calibration?.value).toBeCloseTo(Math.hypot(0.02, 0.06984, 0.0267981342634 / 5, days) / 97, 10)
  })
})

describe('NIST/SEMATECH e-Handbook 2.3.6, control of a line-width calibration', () => {
  // The 18 readings corrected by the calibration line, less the known values: µm about zero. Day 4 is out of control.
  const corrected = [
    0.13584997, 0.00697403, 0.10077875, 0.00414275, 0.04749933, -0.1221104, 0.0649307, -0.02341995,
    0.00959683, -0.22887773, 0.27038848, 0.29327393, -0.02625123, 0.04749933, 0.0399908, 0.04466805, 0.037368,
    0.00959683,
  ]
  test('day 4 scatters more than usual', () => {
    const readings = corrected.map((value, i) => ({
      day: `2026-01-0${1 + Math.floor(i / 3)}`,
      value: 1000 + value,
    }))
    const log = analysed(readings, { nominalNm: 1000, uncertaintyNm: 0 })
    expect(log.days.map(({ alarms }) => alarms.includes('scatter'))).toEqual([
      false,
      false,
      false,
      true,
      false,
      false,
    ])
  })
})

describe('days that lie off the certified value', () => {
  const readings = (values: number[]) =>
    values.map((value, i) => ({ day: new Date(Date.UTC(2026, 0, 1 + i)).toISOString().slice(0, 10), value }))
  const steady = [1000.2, 999.7, 1000.4, 999.9, 1000.1, 999.6, 1000.3]
  const alarmed = (values: number[]) =>
    analysed(readings(values), { nominalNm: 1000, uncertaintyNm: 1 }).days.map(({ alarms }) => alarms)

  test('a shift on the last three days is held against the first ones and the certificate, and alarms', () => {
    const alarms = alarmed([...steady, 1006, 1007, 1006.5])
    expect(alarms.slice(0, 7).flat()).toEqual([])
    for (const day of alarms.slice(7))
      expect(day).toEqual(expect.arrayContaining(['beyond three', 'off nominal']))
    // From z = 3: 3 · √(1² + σ²) with σ of the moving range.
    expect(alarmed([...steady, 1002.5]).at(-1)).not.toContain('off nominal')
  })

  test('a bias from the first day on alarms though the limits are about it', () => {
    const alarms = alarmed(steady.map((value) => value + 6))
    expect(alarms.every((day) => day.includes('off nominal') && !day.includes('beyond three'))).toBe(true)
  })

  test('limits come from five days at least and twenty at most', () => {
    const days = (n: number) =>
      analysed(readings(Array.from({ length: n }, (_, i) => 1000 + (i % 3))), {
        nominalNm: 1000,
        uncertaintyNm: 1,
      }).limits?.days
    expect([4, 5, 9, 30, 60].map(days)).toEqual([undefined, 5, 5, 15, 20])
  })
})
