import type { Chart } from '../../../shared/charts/chart.ts'
import { chartAsSvg } from '../../../shared/charts/drawn-chart.ts'
import { textWidth } from '../../../shared/charts/svg/text-width.ts'

/** Where things stand in the drawing of a chart: read from the SVG, and computed from the ticks written on its axes. */

type Spot = [x: number, y: number]

export const drawnAs = (chart: Chart) =>
  chartAsSvg(chart, { width: 640, height: 300, name: 'chart', ground: '#ffffff', measure: textWidth })

/** A tick's word is written below its line; the line lies so far above the place of the text. */
const half = 0.35 * 13

/** The px of a value on an axis, by the first and the last of its ticks. */
export function placesOn(svg: string, axis: 'x' | 'y'): (value: number) => number {
  const anchor = axis === 'x' ? 'middle' : 'end'
  const found = [
    ...svg.matchAll(
      /<text x="([\d.-]+)" y="([\d.-]+)"[^>]*font-size="13"[^>]*text-anchor="(\w+)"[^>]*>(\u2212?[\d.]+)<\/text>/g,
    ),
  ].filter(([, , , at]) => at === anchor)
  const ticks = found.map(([, x, y, , text]) => ({
    value: Number((text as string).replace('\u2212', '-')),
    at: axis === 'x' ? Number(x) : Number(y) - half,
  }))
  const [first, last] = [ticks[0], ticks.at(-1)]
  if (!first || !last || first.value === last.value) throw new Error(`too few ticks along ${axis}`)
  return (value) => first.at + ((value - first.value) / (last.value - first.value)) * (last.at - first.at)
}

/** The corners of every path whose tag holds all of the attributes. */
export function pathsWith(svg: string, ...attributes: string[]): Spot[][] {
  return [...svg.matchAll(/<path d="([^"]+)"([^>]*)>/g)]
    .filter(([, , tag]) => attributes.every((attribute) => (tag as string).includes(attribute)))
    .map(([, d]) => cornersOf(d as string))
}

function cornersOf(d: string): Spot[] {
  const corners = [...d.matchAll(/([MLCA])([^MLCAZ]+)/g)].map(([, , numbers]): Spot => {
    const all = [...(numbers as string).matchAll(/-?[\d.]+/g)].map(Number)
    return [all.at(-2) as number, all.at(-1) as number]
  })
  return corners.filter(([x, y], k) => k === 0 || x !== corners[k - 1]?.[0] || y !== corners[k - 1]?.[1])
}

/** The middle of what a path covers: of a mark its place. */
export function middleOf(path: Spot[]): Spot {
  const middle = (k: 0 | 1) => {
    const all = path.map((spot) => spot[k])
    return (Math.min(...all) + Math.max(...all)) / 2
  }
  return [middle(0), middle(1)]
}
