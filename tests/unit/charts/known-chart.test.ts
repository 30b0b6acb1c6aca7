import { expect, test } from 'vitest'
import { knownChart } from '../../../shared/charts/known-chart.ts'
import { plainTheme } from './plain-theme.ts'

test('draws now and after each run, and says the same in its table', () => {
  const { table, stops, config, label } = knownChart({
    known: {
      ...{ factor: 'speed', unit: 'rpm', at: { speed: 3000 }, scope: 'otherSession' },
      points: [
        { x: 2000, now: 8, after: [6, 5] },
        { x: 4000, now: 7, after: [6.5, 4] },
      ],
    },
    names: ['now', 'most likely', 'teaches most'],
    marks: [{ x: 3000, words: 'recommended run' }],
    title: 'standard error of the mean',
    shown: { name: 'thickness', unit: 'Å', of: (nm) => 10 * nm },
    theme: plainTheme,
  })
  expect(table.columns).toEqual(['speed (rpm)', 'now', 'most likely', 'teaches most'])
  expect(table.rows).toEqual([
    ['2000', '80', '60', '50'],
    ['4000', '70', '65', '40'],
  ])
  expect(config.data.datasets.map(({ data }) => data)).toMatchObject([
    [{ y: 80 }, { y: 70 }],
    [{ y: 60 }, { y: 65 }],
    [{ y: 50 }, { y: 40 }],
  ])
  expect(label).toContain('most likely')
  expect(stops?.[1]?.words).toMatch(/^At 4000.rpm: now 70, most likely 65, teaches most 40 Å$/)
})
