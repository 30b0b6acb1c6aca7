import type { ChartTheme } from '../../../shared/charts/theme.ts'

/** Colours that a test can tell apart. */
export const plainTheme: ChartTheme = {
  name: 'light',
  ground: '#ffffff',
  ink: '#111111',
  inkSoft: '#555555',
  grid: '#dddddd',
  accent: '#0a6468',
  outside: '#a8200d',
  mark: '#14191b',
  bandConfidence: '#0a646840',
  bandPrediction: '#0a64681f',
  bandTolerance: '#b4530a26',
  series: ['#0a6468', '#b4530a'],
  font: 'sans-serif',
}
