import { expect, test } from 'vitest'
import { checkChart } from '../../../shared/charts/check-chart.ts'
import { analyseCheckLog } from '../../../shared/gauge/check-log.ts'
import { gaugeCautions, nextScan, scanWords } from '../../../shared/gauge/gauge-steps.ts'
import { checkWords } from '../../../shared/gauge/gauge-words.ts'
import { plainTheme } from '../charts/plain-theme.ts'

const study = {
  id: '',
  gaugeId: '',
  at: '',
  wafers: ['A', 'B'],
  operators: ['Kim', 'Lee'],
  reloads: 2,
  scans: 2,
  seed: 1,
  toleranceNm: 30,
  note: '',
}

test('the next scan is the first in the order without a reading, also where one was taken back', () => {
  const order = [
    { wafer: 1, operator: 1, reload: 1 },
    { wafer: 2, operator: 1, reload: 1 },
  ]
  const read = new Set(['0 1', '1 1', '1 2'])
  const isRead = (row: number, scan: number) => read.has(`${row} ${scan}`)
  expect(nextScan(order, 2, isRead)).toEqual({ row: 0, scan: 2 })
  read.add('0 2')
  expect(nextScan(order, 2, isRead)).toBeNull()
})

test('what to do is said with the wafer, the loading and who does it', () => {
  const loading = { wafer: 2, operator: 2, reload: 1 }
  expect(scanWords(study, loading, 1)).toMatch(/^Lee: .*load wafer B \(loading 1 of 2\).*scan 1 of 2\.$/)
  expect(scanWords(study, loading, 2)).toMatch(/^Lee: Leave wafer B where it is .*scan 2 of 2\.$/)
  expect(gaugeCautions('profilometer').join(' ')).toMatch(/stylus/)
})

test('a jump of the standard is said, and drawn with another mark', () => {
  const readings = Array.from({ length: 20 }, (_, i) => ({
    day: `2026-03-${String(i + 1).padStart(2, '0')}`,
    value: 500 + (i % 2 ? 0.3 : -0.3) + (i === 12 ? 5 : 0),
  }))
  const log = analyseCheckLog(readings, { nominalNm: 500, uncertaintyNm: 0.2 })
  if (!log.ok) throw new Error('no log')
  expect(log.value.days.flatMap(({ alarms }, i) => (alarms.length > 0 ? [i] : []))).toEqual([12])
  const show = (value: number) => `${value.toFixed(1)} nm`
  expect(checkWords(log.value, show).join(' ')).toMatch(/One day alarms: 2026-03-13, beyond three/)
  const shown = { name: 'mean of the day', unit: 'nm', of: (value: number) => value }
  const chart = checkChart({ log: log.value, shown, theme: plainTheme })
  expect(chart.table.rows[12]?.[2]).toBe('yes')
  expect(chart.config.data.datasets.at(-1)?.data).toHaveLength(1)
})
