import type { Direction } from '../../shared/charts/crosshair.ts'

/** Keys by which a chart is read: the crosshair's way, a closer look, the whole chart, no crosshair. */
export const directions: Record<string, Direction> = {
  ArrowLeft: 'left',
  ArrowRight: 'right',
  ArrowUp: 'up',
  ArrowDown: 'down',
}
export const zoomKeys: Record<string, 'closer' | 'farther'> = { '+': 'closer', '=': 'closer', '-': 'farther' }
export const whole = '0'
export const leave = 'Escape'
