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
