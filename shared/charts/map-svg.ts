import { escaped } from '../escaped.ts'
import { measuredArea, type Substrate, sizeOf } from '../film/substrate.ts'
import { css } from './colour-scale.ts'
import { enoughForSurface, filmBands } from './film-bands.ts'
import { fixed } from './format.ts'
import { type ChartTheme, mapScale } from './theme.ts'
import { colourKey, lightTextOf, type MapSite, spanOf, type WaferMark, waferMarks } from './wafer-marks.ts'
import { areaOutline, shareBetween, waferOutline } from './wafer-outline.ts'

/** What maps on one scale are drawn with. */
export type MapLooks = {
  substrate: Substrate
  unit: string
  decimals: number
  theme: ChartTheme
  /** Samples along a side of the grid between the readings. */
  columns: number
}

/** A map in mm, y downwards, as the inside of an SVG; `name` is unlike that of every other drawing in the document. */
export function mapDrawing(
  sites: readonly MapSite[],
  looks: MapLooks & { span: readonly [number, number] | null; name: string },
): string {
  const { substrate, unit, decimals, theme, span, columns, name } = looks
  const size = Math.max(...sizeOf(substrate))
  const colour = mapScale(theme.name)
  const marks = waferMarks(sites, {
    ...{ colour, lightText: lightTextOf(theme.name), size, decimals, unit },
    span,
  })
  const read = marks.filter(({ state }) => state === 'read').length
  const film =
    span && span[0] < span[1] && read >= enoughForSurface
      ? filmBands(sites, { outline: substrate, span, colour, columns })
      : null
  const hair = 0.004 * size
  const outline = waferOutline(substrate)
  const line = (d: string, rest: string) => `<path d="${d}" fill="none" stroke="${theme.inkSoft}" ${rest}/>`
  const bands = (film?.bands ?? []).map(
    ({ path, fill }) =>
      `<path d="${path}" fill="${fill}" fill-rule="evenodd" stroke="${theme.ink}" stroke-width="${0.4 * hair}"/>`,
  )
  const written = marks.some(({ value }) => value !== '')
  const labels = written ? [] : (film?.labels ?? [])
  return [
    `<clipPath id="${name}-wafer"><path d="${outline}"/></clipPath>`,
    `<path d="${outline}" fill="${theme.ground}"/>`,
    `<g clip-path="url(#${name}-wafer)">${bands.join('')}</g>`,
    film ? `<path d="${film.beyond}" fill="${theme.ground}" fill-opacity="0.55" fill-rule="evenodd"/>` : '',
    line(outline, `stroke-width="${2 * hair}"`),
    line(
      areaOutline(measuredArea(substrate)),
      `stroke-width="${hair}" stroke-dasharray="${4 * hair} ${4 * hair}"`,
    ),
    ...marks.map((mark) => markDrawing(mark, theme, hair)),
    ...labels.map(({ level, x, y }) =>
      text(fixed(level, decimals), { x, y: y + 0.016 * size, size: 0.045 * size, theme, fill: theme.ink }),
    ),
  ].join('')
}

function markDrawing(mark: WaferMark, theme: ChartTheme, hair: number): string {
  const { x, y, radius, value } = mark
  const fill = mark.state === 'read' ? mark.fill : theme.ground
  const cross = `M ${x - 0.7 * radius} ${y + 0.7 * radius} l ${1.4 * radius} ${-1.4 * radius}`
  const size = 0.55 * radius * Math.min(1, 5.2 / Math.max(1, value.length))
  const ink = mark.ink || theme.inkSoft
  return [
    `<g><title>${escaped(mark.words)}</title>`,
    `<circle cx="${x}" cy="${y}" r="${radius}" fill="${fill}" stroke="${theme.inkSoft}" stroke-width="${hair}"/>`,
    mark.state === 'left out'
      ? `<path d="${cross}" stroke="${theme.outside}" stroke-width="${2 * hair}"/>`
      : '',
    value ? text(value, { x, y: y + 0.2 * radius, size, theme, fill: ink, halo: false }) : '',
    '</g>',
  ].join('')
}

/** Words about a middle; a halo of the ground sets them off from what they stand on. */
function text(
  words: string,
  at: { x: number; y: number; size: number; theme: ChartTheme; fill: string; halo?: boolean; from?: string },
): string {
  const { x, y, size, theme, fill, halo = true, from = 'middle' } = at
  const around = halo ? ` stroke="${theme.ground}" stroke-width="${0.25 * size}" paint-order="stroke"` : ''
  return `<text x="${x}" y="${y}" font-family="${escaped(theme.font)}" font-size="${size}" text-anchor="${from}" fill="${fill}"${around}>${escaped(words)}</text>`
}

const cell = 320
const head = 24
const keyWidth = 100
const mostAcross = 4

/**
 * One map or several on one scale as a picture, px: each with its name above it, and the key of the colours beside them.
 *
 * @param options.ground the colour behind it; null for none
 */
export function mapsAsSvg(
  maps: readonly { name: string; sites: readonly MapSite[] }[],
  options: MapLooks & { ground: string | null; label: string },
): { svg: string; width: number; height: number } {
  const { substrate, unit, decimals, theme, ground, label } = options
  const span = spanOf(maps.flatMap(({ sites }) => sites))
  const across = Math.min(mostAcross, maps.length)
  const key = colourKey(span, unit, decimals)
  const [w, h] = sizeOf(substrate).map((side) => 1.06 * side) as [number, number]
  const tall = Math.round((cell * h) / w)
  const width = across * cell + (key ? keyWidth : 0)
  const height = Math.ceil(maps.length / across) * (head + tall)
  const drawn = maps.map(({ name, sites }, k) => {
    const [x, y] = [(k % across) * cell, Math.floor(k / across) * (head + tall)]
    const title = text(name, { x: x + cell / 2, y: y + 17, size: 14, theme, fill: theme.ink, halo: false })
    const inside = mapDrawing(sites, { ...options, span, name: `map-${k}` })
    return `${title}<svg x="${x}" y="${y + head}" width="${cell}" height="${tall}" viewBox="${-w / 2} ${-h / 2} ${w} ${h}">${inside}</svg>`
  })
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" role="img">`,
    `<title>${escaped(label)}</title>`,
    ground === null ? '' : `<rect width="${width}" height="${height}" fill="${ground}"/>`,
    ...drawn,
    key ? keyDrawing(key, { x: across * cell + 16, height: Math.min(height, head + tall), theme }) : '',
    '</svg>',
  ].join('')
  return { svg, width, height }
}

function keyDrawing(
  key: NonNullable<ReturnType<typeof colourKey>>,
  { x, height, theme }: { x: number; height: number; theme: ChartTheme },
): string {
  const [top, long, strips] = [head + 16, height - head - 40, 40]
  const colour = mapScale(theme.name)
  const down = (value: number) => top + long * (1 - shareBetween(value, key.low, key.high))
  const words = (said: string, y: number, from: number) =>
    text(said, { x: from, y, size: 13, theme, fill: theme.ink, halo: false, from: 'start' })
  const rects = Array.from(
    { length: strips },
    (_, k) =>
      `<rect x="${x}" y="${top + long - ((k + 1) * long) / strips}" width="16" height="${long / strips + 0.5}" fill="${css(colour((k + 0.5) / strips))}"/>`,
  )
  const ticks = key.ticks.map(
    (tick) =>
      `<path d="M ${x + 16} ${down(tick)} h 5" stroke="${theme.inkSoft}"/>${words(fixed(tick, key.decimals), down(tick) + 4, x + 25)}`,
  )
  return [words(key.unit, top - 8, x), ...rects, ...ticks].join('')
}
