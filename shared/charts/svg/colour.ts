/** A colour of a style sheet as SVG attributes take it everywhere: the colour without its alpha, and the alpha. */
export type Paint = { colour: string; opacity: number }

const hexDigits = /^#([0-9a-f]{3,4}|[0-9a-f]{6}|[0-9a-f]{8})$/i
const listed = /^rgba?\(([^)]*)\)$/i

/**
 * Takes the alpha out of `#rgba`, `#rrggbbaa` and `rgba(…)`, which many readers of SVG do not know. Other colours, such
 * as names, go through as they are.
 */
export function paintOf(text: string): Paint {
  const colour = text.trim()
  if (colour === 'transparent') return { colour: 'none', opacity: 1 }
  const hex = hexDigits.exec(colour)?.[1]
  if (hex !== undefined) {
    const digits = hex.length < 6 ? [...hex].map((digit) => digit + digit).join('') : hex
    const alpha = digits.slice(6)
    return { colour: `#${digits.slice(0, 6)}`, opacity: alpha === '' ? 1 : Number.parseInt(alpha, 16) / 255 }
  }
  const parts = listed
    .exec(colour)?.[1]
    ?.split(/[\s,/]+/)
    .filter(Boolean)
  if (parts === undefined || parts.length < 3) return { colour, opacity: 1 }
  const [red, green, blue, alpha = '1'] = parts
  const share = alpha.endsWith('%') ? Number.parseFloat(alpha) / 100 : Number(alpha)
  return { colour: `rgb(${red},${green},${blue})`, opacity: share }
}
