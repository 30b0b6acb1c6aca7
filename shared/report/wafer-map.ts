import { css } from '../charts/colour-scale.ts'
import { enoughForSurface, filmBands } from '../charts/film-bands.ts'
import { fixed } from '../charts/format.ts'
import { type ChartTheme, mapScale } from '../charts/theme.ts'
import { colourKey, type MapSite, waferMarks } from '../charts/wafer-marks.ts'
import { areaOutline, shareBetween, waferOutline } from '../charts/wafer-outline.ts'
import { measuredArea, type Substrate, sizeOf } from '../film/substrate.ts'
import { type Html, html } from './html.ts'

export type MapLooks = { span: [number, number]; unit: string; decimals: number; theme: ChartTheme }

/** Samples along a side of the grid between the readings: fewer than on the screen, as maps stand small here. */
const columns = 25

const lightText = (theme: ChartTheme): [number, number, number] =>
  theme.name === 'bay' ? [255, 208, 0] : [255, 255, 255]

/**
 * The substrate from above, flat or notch down, with its sites, coloured on a scale that other maps share.
 *
 * @param options.name unlike that of every other drawing in the document
 */
export function waferMap(
  sites: MapSite[],
  options: MapLooks & { substrate: Substrate; name: string; title: string },
): Html {
  const { substrate, span, unit, decimals, theme, name } = options
  const [width, height] = sizeOf(substrate)
  const size = Math.max(width, height)
  const colour = mapScale(theme.name)
  const marks = waferMarks(sites, { colour, lightText: lightText(theme), size, decimals, unit, span })
  const read = marks.filter(({ state }) => state === 'read').length
  const film =
    read >= enoughForSurface && span[0] < span[1]
      ? filmBands(sites, { outline: substrate, span, colour, columns })
      : null
  const [w, h] = [width + 0.06 * size, height + 0.06 * size]
  const clip = `${name}-wafer`
  const hair = size * 0.004
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="160" height="${Math.round((160 * h) / w)}" viewBox="${-w / 2} ${-h / 2} ${w} ${h}" role="img"><title>${options.title}: ${read} of ${sites.length} sites read</title><clipPath id="${clip}"><path d="${waferOutline(substrate)}"/></clipPath><path d="${waferOutline(substrate)}" fill="${theme.ground}"/><g clip-path="url(#${clip})">${(film?.bands ?? []).map((band) => html`<path d="${band.path}" fill="${band.fill}" fill-rule="evenodd"/>`)}</g>${film ? html`<path d="${film.beyond}" fill="${theme.ground}" fill-opacity="0.55" fill-rule="evenodd"/>` : null}<path d="${waferOutline(substrate)}" fill="none" stroke="${theme.inkSoft}" stroke-width="${2 * hair}"/><path d="${areaOutline(measuredArea(substrate))}" fill="none" stroke="${theme.inkSoft}" stroke-width="${hair}" stroke-dasharray="${4 * hair} ${4 * hair}"/>${marks.map(
    (mark) =>
      html`<g><title>${mark.words}</title><circle cx="${mark.x}" cy="${mark.y}" r="${mark.radius}" fill="${mark.state === 'read' ? mark.fill : theme.ground}" stroke="${theme.inkSoft}" stroke-width="${hair}"/>${
        mark.state === 'left out'
          ? html`<path d="M ${mark.x - 0.7 * mark.radius} ${mark.y + 0.7 * mark.radius} l ${1.4 * mark.radius} ${-1.4 * mark.radius}" stroke="${theme.outside}" stroke-width="${2 * hair}"/>`
          : null
      }${mark.value ? html`<text x="${mark.x}" y="${mark.y + 0.2 * mark.radius}" font-family="${theme.font}" font-size="${0.55 * mark.radius * Math.min(1, 5.2 / mark.value.length)}" text-anchor="middle" fill="${mark.ink || theme.inkSoft}">${mark.value}</text>` : null}</g>`,
  )}</svg>`
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
