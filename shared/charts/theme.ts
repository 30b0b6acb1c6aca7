import { bayRamp, type ColourScale, cividis } from './colour-scale.ts'

export type ThemeName = 'light' | 'dark' | 'bay'

/** The colours of one theme as the page's style sheet gives them, for drawing on a canvas. */
export type ChartTheme = {
  name: ThemeName
  ground: string
  ink: string
  inkSoft: string
  grid: string
  accent: string
  outside: string
  /** Marks of runs. */
  mark: string
  bandConfidence: string
  bandPrediction: string
  bandTolerance: string
  /** One colour a group; told apart by mark and dash too. */
  series: string[]
  font: string
}

/** The scale of maps and surfaces: without blue in the bay. */
export function mapScale(theme: ThemeName): ColourScale {
  return theme === 'bay' ? bayRamp : cividis
}

const shapes = ['circle', 'rect', 'triangle', 'rectRot', 'star', 'crossRot'] as const
const dashes: number[][] = [[], [8, 4], [2, 3], [10, 3, 2, 3], [14, 4], [5, 2, 2, 2, 2, 2]]
const shapeWords = ['circles', 'squares', 'triangles', 'diamonds', 'stars', 'crosses']

export type GroupStyle = {
  colour: string
  mark: (typeof shapes)[number]
  markInWords: string
  dash: number[]
}

/** How the n-th group is drawn: no two of the first six differ by hue alone. */
export function groupStyle(theme: ChartTheme, index: number): GroupStyle {
  const at = index % shapes.length
  return {
    colour: theme.series[index % theme.series.length] ?? theme.ink,
    mark: shapes[at]!,
    markInWords: shapeWords[at]!,
    dash: dashes[at]!,
  }
}
