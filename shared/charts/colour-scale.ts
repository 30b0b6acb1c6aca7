/** A colour as red, green and blue from 0 to 255. */
export type Rgb = [red: number, green: number, blue: number]

type Stop = [place: number, colour: Rgb]

/**
 * Cividis (Nuñez, Anderton & Renslow, PLoS ONE 13(7), 2018, e0199239): lightness and hue read the same with
 * colour-deficient vision. Twelve of the 256 published colours; straight lines between them stay within
 * 3/255 of the others.
 */
const cividisStops: Stop[] = [
  [0, [0, 32, 76]],
  [21 / 255, [0, 46, 111]],
  [31 / 255, [1, 53, 110]],
  [36 / 255, [21, 57, 109]],
  [49 / 255, [46, 66, 107]],
  [77 / 255, [78, 86, 110]],
  [136 / 255, [132, 129, 120]],
  [179 / 255, [175, 164, 115]],
  [220 / 255, [220, 200, 96]],
  [246 / 255, [250, 224, 72]],
  [252 / 255, [255, 230, 66]],
  [1, [255, 233, 69]],
]

/** Black to red to amber with nearly even steps of lightness and nothing in the blue channel. */
const bayStops: Stop[] = [
  [0, [0, 0, 0]],
  [0.1, [60, 0, 0]],
  [0.27, [120, 0, 0]],
  [0.45, [190, 0, 0]],
  [0.58, [235, 40, 0]],
  [0.71, [255, 100, 0]],
  [0.82, [255, 150, 0]],
  [0.93, [255, 191, 0]],
  [1, [255, 215, 0]],
]

export type ColourScale = (share: number) => Rgb

function through(stops: Stop[]): ColourScale {
  return (share) => {
    const place = Math.min(1, Math.max(0, Number.isNaN(share) ? 0 : share))
    const after = Math.max(
      1,
      stops.findIndex(([at]) => at >= place),
    )
    const [low, from] = stops[after - 1]!
    const [high, to] = stops[after]!
    const part = (place - low) / (high - low)
    return [0, 1, 2].map((k) => Math.round(from[k]! + (to[k]! - from[k]!) * part)) as Rgb
  }
}

/** The colour of a share from 0 to 1; shares beyond are drawn as the nearest end. */
export const cividis: ColourScale = through(cividisStops)
export const bayRamp: ColourScale = through(bayStops)

/** As a style sheet writes it, with an optional opacity. */
export function css([red, green, blue]: Rgb, opacity = 1): string {
  return opacity === 1 ? `rgb(${red}, ${green}, ${blue})` : `rgba(${red}, ${green}, ${blue}, ${opacity})`
}

/** Relative luminance from 0 to 1 (WCAG 2.2, definition of relative luminance). */
export function luminance(colour: Rgb): number {
  const [red, green, blue] = colour.map((channel) => {
    const share = channel / 255
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
  }) as Rgb
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/**
 * Whether black rather than the light text colour reads better on this colour (contrast as in WCAG 2.2).
 * In the bay the light text is amber rather than white.
 */
export function takesDarkText(colour: Rgb, lightText: Rgb = [255, 255, 255]): boolean {
  const ground = luminance(colour)
  return (ground + 0.05) / 0.05 >= (luminance(lightText) + 0.05) / (ground + 0.05)
}

/** The colour `#rrggbb` with an opacity from 0 to 1; other spellings are returned as they are. */
export function faded(colour: string, opacity: number): string {
  const parts = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(colour)
  if (!parts) return colour
  return css(parts.slice(1).map((part) => Number.parseInt(part, 16)) as Rgb, opacity)
}
