import type { AnnotationOptions } from 'chartjs-plugin-annotation'
import { faded } from './colour-scale.ts'
import type { GuideLabel } from './quiet-labels.ts'
import type { ChartTheme } from './theme.ts'

/** The target with its tolerance, in the unit of the axis. */
export type Tolerance = { target: number; tolerance: number | null }

const label = (theme: ChartTheme, content: string) => ({
  display: true,
  content,
  color: theme.ink,
  backgroundColor: faded(theme.ground, 0.85),
  font: { family: theme.font, size: 13, weight: 'normal' as const },
  padding: { x: 4, y: 2 },
})

/** Lowest and highest value within the tolerance; the target alone where none is stated. */
export function endsOf({ target, tolerance }: Tolerance): [number, number] {
  return [target - (tolerance ?? 0), target + (tolerance ?? 0)]
}

/**
 * The tolerance band across the plot with a dashed edge, so that it is seen without colour, and its target line.
 * `toleranceLabel` names it.
 */
export function toleranceGuides(theme: ChartTheme, at: Tolerance): Record<string, AnnotationOptions> {
  const target: AnnotationOptions = {
    type: 'line',
    scaleID: 'y',
    value: at.target,
    borderColor: theme.ink,
    borderWidth: 1,
  }
  if (at.tolerance === null) return { target }
  const [low, high] = endsOf(at)
  const edge = (value: number) => ({
    type: 'line' as const,
    scaleID: 'y' as const,
    value,
    borderColor: theme.ink,
    borderWidth: 1,
    borderDash: [2, 3],
  })
  return {
    target,
    tolerance: {
      type: 'box',
      yMin: low,
      yMax: high,
      backgroundColor: theme.bandTolerance,
      borderWidth: 0,
      drawTime: 'beforeDatasetsDraw',
    },
    low: edge(low),
    high: edge(high),
  }
}

/** The name of the tolerance band, above it or below. */
export function toleranceLabel(at: Tolerance, words: string): GuideLabel {
  const [from, to] = endsOf(at)
  return { words, level: { from, to } }
}

/** A thin upright line with a word at its top, or so many px below it; without one it is named otherwise. */
export function uprightGuide(theme: ChartTheme, x: number, words = '', below = 0): AnnotationOptions {
  return {
    type: 'line',
    scaleID: 'x',
    value: x,
    borderColor: theme.inkSoft,
    borderWidth: 1,
    borderDash: [6, 4],
    ...(words === '' ? {} : { label: { ...label(theme, words), position: 'start', yAdjust: below } }),
  }
}

/** A level line such as zero. */
export function levelGuide(theme: ChartTheme, y: number): AnnotationOptions {
  return { type: 'line', scaleID: 'y', value: y, borderColor: theme.inkSoft, borderWidth: 1 }
}
