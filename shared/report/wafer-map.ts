import { css } from '../charts/colour-scale.ts'
import { fixed } from '../charts/format.ts'
import { mapDrawing } from '../charts/map-svg.ts'
import { type ChartTheme, mapScale } from '../charts/theme.ts'
import { colourKey, type MapSite } from '../charts/wafer-marks.ts'
import { shareBetween } from '../charts/wafer-outline.ts'
import { type Substrate, sizeOf } from '../film/substrate.ts'
import { type Html, html, markup } from './html.ts'

export type MapLooks = { span: [number, number]; unit: string; decimals: number; theme: ChartTheme }

/** Samples along a side of the grid between the readings: fewer than on the screen, as maps stand small here. */
const columns = 25

/**
 * The substrate from above, flat or notch down, with its sites, coloured on a scale that other maps share.
 *
 * @param options.name unlike that of every other drawing in the document
 */
export function waferMap(
  sites: MapSite[],
  options: MapLooks & { substrate: Substrate; name: string; title: string },
): Html {
  const [w, h] = sizeOf(options.substrate).map((side) => 1.06 * side) as [number, number]
  const read = sites.filter(({ value, excluded }) => value !== null && excluded === null).length
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="160" height="${Math.round((160 * h) / w)}" viewBox="${-w / 2} ${-h / 2} ${w} ${h}" role="img"><title>${options.title}: ${read} of ${sites.length} sites read</title>${markup(mapDrawing(sites, { ...options, columns }))}</svg>`
}

/** What the colours of all maps mean, as a strip; null where all readings are one number. */
export function mapKey({ span, unit, decimals, theme }: MapLooks): Html | null {
  const key = colourKey(span, unit, decimals)
  if (!key) return null
  const [length, strips] = [420, 60]
  const colour = mapScale(theme.name)
  const at = (value: number) => 20 + length * shareBetween(value, key.low, key.high)
  const words = (value: number) => fixed(value, decimals)
  const label = `Colours of all maps: from ${words(key.low)} (dark) to ${words(key.high)} ${unit} (light)`
  return html`<figure><svg xmlns="http://www.w3.org/2000/svg" width="${length + 40}" height="34" viewBox="0 0 ${length + 40} 34" role="img"><title>${label}</title>${Array.from(
    { length: strips },
    (_, k) =>
      html`<rect x="${20 + (k * length) / strips}" y="0" width="${length / strips + 0.5}" height="12" fill="${css(colour((k + 0.5) / strips))}"/>`,
  )}${key.ticks.map(
    (tick) =>
      html`<path d="M ${at(tick)} 12 v 4" stroke="${theme.inkSoft}"/><text x="${at(tick)}" y="29" font-family="${theme.font}" font-size="12" text-anchor="middle" fill="${theme.ink}">${words(tick)}</text>`,
  )}</svg><figcaption>${label}.</figcaption></figure>`
}
