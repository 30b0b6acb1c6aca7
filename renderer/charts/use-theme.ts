import { type ShallowRef, shallowRef, watch } from 'vue'
import type { ChartTheme } from '../../shared/charts/theme.ts'
import { type Theme, useSettings } from '../stores/settings.ts'

/** The theme's colours for canvases, read again from the style sheet whenever the theme changes. */
export function useChartTheme(): ShallowRef<ChartTheme> {
  const settings = useSettings()
  const theme = shallowRef(readTheme(settings.theme))
  // After the page has taken the new theme, so that the style sheet already gives its colours.
  watch(
    () => settings.theme,
    (name) => {
      theme.value = readTheme(name)
    },
    { flush: 'post' },
  )
  return theme
}

/** The colours of a theme, be it the page's own or another. */
export function readTheme(name: Theme): ChartTheme {
  const part = document.createElement('div')
  part.dataset.theme = name
  document.body.append(part)
  const sheet = getComputedStyle(part)
  const of = (variable: string) => sheet.getPropertyValue(variable).trim()
  const theme: ChartTheme = {
    name,
    ground: of('--paper'),
    ink: of('--ink'),
    inkSoft: of('--ink-soft'),
    grid: of('--grid'),
    accent: of('--accent'),
    outside: of('--outside'),
    mark: of('--mark'),
    bandConfidence: of('--band-confidence'),
    bandPrediction: of('--band-prediction'),
    bandTolerance: of('--band-tolerance'),
    series: ['--series-1', '--series-2', '--series-3', '--series-4'].map(of),
    font: of('--font'),
  }
  part.remove()
  return theme
}
