import type { AnnotationOptions } from 'chartjs-plugin-annotation'
import { faded } from './colour-scale.ts'
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

/**
 * The tolerance band across the plot with a dashed edge, so that it is seen without colour, and its target
 * line, named above the band at the left.
 */
export function toleranceGuides(
  theme: ChartTheme,
  at: Tolerance,
  words: string,
): Record<string, AnnotationOptions> {
  const named = { ...label(theme, words), position: 'start' as const, yAdjust: -12 }
  const guides: Record<string, AnnotationOptions> = {
    target: {
      type: 'line',
      scaleID: 'y',
      value: at.target,
      borderColor: theme.ink,
      borderWidth: 1,
      ...(at.tolerance === null ? { label: named } : {}),
    },
  }
  if (at.tolerance === null) return guides
  const [low, high] = [at.target - at.tolerance, at.target + at.tolerance]
  const edge = (value: number) => ({
    type: 'line' as const,
    scaleID: 'y' as const,
    value,
    borderColor: theme.ink,
    borderWidth: 1,
    borderDash: [2, 3],
  })
  return {
    ...guides,
    tolerance: {
      type: 'box',
      yMin: low,
      yMax: high,
      backgroundColor: theme.bandTolerance,
      borderWidth: 0,
      drawTime: 'beforeDatasetsDraw',
    },
    low: edge(low),
    high: { ...edge(high), label: named },
  }
}

/** A thin upright line with a word at its top, or so many px below it. */
export function uprightGuide(theme: ChartTheme, x: number, words: string, below = 0): AnnotationOptions {
  return {
    type: 'line',
    scaleID: 'x',
    value: x,
    borderColor: theme.inkSoft,
    borderWidth: 1,
    borderDash: [6, 4],
    label: { ...label(theme, words), position: 'start', yAdjust: below },
  }
}

/** A level line such as zero, or a limit with its name. */
export function levelGuide(theme: ChartTheme, y: number, words = ''): AnnotationOptions {
  return {
    type: 'line',
    scaleID: 'y',
    value: y,
    borderColor: theme.inkSoft,
    borderWidth: 1,
    ...(words === '' ? {} : { borderDash: [6, 4], label: { ...label(theme, words), position: 'end' } }),
  }
}
