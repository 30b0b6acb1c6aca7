import type { ChartTheme } from '../charts/theme.ts'

/** Charts on paper: black on white, and the same to read without colour. */
export const paperTheme: ChartTheme = {
  name: 'light',
  ground: '#ffffff',
  ink: '#000000',
  inkSoft: '#333333',
  grid: '#dddddd',
  accent: '#00457c',
  outside: '#8f1d00',
  mark: '#000000',
  bandConfidence: '#9db8d3',
  bandPrediction: '#e3ebf3',
  bandTolerance: '#ececec',
  series: ['#00457c', '#8a4b00', '#3d6b21', '#6b2c6b'],
  font: 'system-ui, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", sans-serif',
}
