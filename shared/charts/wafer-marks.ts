import { type ColourScale, css, type Rgb, takesDarkText } from './colour-scale.ts'
import type { ColourKey } from './contour-chart.ts'
import { fixed } from './format.ts'
import { roundLevels } from './round-levels.ts'
import { siteMarks } from './site-marks.ts'
import type { ThemeName } from './theme.ts'
import { shareBetween } from './wafer-outline.ts'

/** A site of the map with its reading in the shown unit, or without one. Positions in mm, y upwards. */
export type MapSite = {
  site: number | null
  xMm: number
  yMm: number
  value: number | null
  excluded: string | null
  /** Typed and not yet kept by the engine. */
  unsaved?: boolean
}

/** A site as it is drawn: in mm, y downwards; `words` is the whole truth for those who point or listen. */
export type WaferMark = {
  key: string
  x: number
  y: number
  radius: number
  fill: string
  ink: string
  state: 'empty' | 'read' | 'left out'
  unsaved: boolean
  number: string
  value: string
  words: string
}

/**
 * Marks of a wafer map. The colours run from the lowest to the highest reading in force.
 *
 * @param options.span lowest and highest where the scale is common to several maps
 */
export function waferMarks(
  sites: readonly MapSite[],
  options: {
    colour: ColourScale
    lightText: Rgb
    /** The longer side of the substrate, mm. */
    size: number
    decimals: number
    unit: string
    span?: readonly [number, number] | null
  },
): WaferMark[] {
  const [low, high] = options.span ?? spanOf(sites) ?? [0, 0]
  const { radius, values, isNumbered } = siteMarks(sites, options.size)
  return sites.map((site, index) => {
    const state = site.value === null ? 'empty' : site.excluded === null ? 'read' : 'left out'
    const rgb = options.colour(site.value === null ? 0 : shareBetween(site.value, low, high))
    const value = fixed(site.value, options.decimals)
    const name =
      site.site === null ? `x ${fixed(site.xMm, 1)}, y ${fixed(site.yMm, 1)} mm` : `site ${site.site}`
    return {
      key: `${site.site ?? ''} ${index}`,
      x: site.xMm,
      y: -site.yMm,
      radius,
      fill: state === 'read' ? css(rgb) : 'none',
      ink: state !== 'read' ? '' : takesDarkText(rgb, options.lightText) ? '#000000' : css(options.lightText),
      state,
      unsaved: site.unsaved ?? false,
      number: site.site !== null && isNumbered(index) ? String(site.site) : '',
      value: values && site.value !== null ? value : '',
      words:
        state === 'empty'
          ? `${name}: not read`
          : `${name}: ${value} ${options.unit}` +
            `${site.excluded === null ? '' : ` (left out: ${site.excluded})`}${site.unsaved ? ' (not saved yet)' : ''}`,
    }
  })
}

/** What is written light on a dark mark. */
export const lightTextOf = (theme: ThemeName): Rgb => (theme === 'bay' ? [255, 208, 0] : [255, 255, 255])

/** Lowest and highest reading in force; null where there is none. */
export function spanOf(sites: readonly MapSite[]): [number, number] | null {
  const values = sites.flatMap((site) => (site.value === null || site.excluded !== null ? [] : [site.value]))
  if (values.length === 0) return null
  return [values.reduce((a, b) => Math.min(a, b)), values.reduce((a, b) => Math.max(a, b))]
}

/** What the colours of one or several maps mean; null where all readings are one number or there is none. */
export function colourKey(
  span: readonly [number, number] | null,
  unit: string,
  decimals: number,
): ColourKey | null {
  if (!span || span[0] === span[1]) return null
  const [low, high] = span
  return { low, high, ticks: roundLevels(low, high, 5), decimals, unit }
}
