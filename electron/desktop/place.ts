/** A rectangle on the desktop, in pixels that do not depend on the scale of a display. */
export type Rectangle = { x: number; y: number; width: number; height: number }

const usual = { width: 1360, height: 860 }
const least = { width: 900, height: 600 }

/** How much of the window's upper edge must lie on a display for it to be seen and taken hold of. */
const handle = { width: 120, height: 40 }

/** Length of the overlap of two stretches. */
const overlap = (start: number, length: number, otherStart: number, otherLength: number) =>
  Math.min(start + length, otherStart + otherLength) - Math.max(start, otherStart)

/**
 * Where a window that was last at `remembered` opens: there, where its upper edge can be seen on one of the
 * displays that are there now (the first is the main one), and otherwise centred on the main display; never
 * larger than its display.
 */
export function placeWindow(remembered: Rectangle | null, displays: Rectangle[]): Rectangle {
  const main = displays[0] ?? { x: 0, y: 0, ...usual }
  const asked = remembered ?? { x: Number.NaN, y: Number.NaN, ...usual }
  const sizeOn = (display: Rectangle) => ({
    width: Math.min(Math.max(asked.width, least.width), display.width),
    height: Math.min(Math.max(asked.height, least.height), display.height),
  })
  const seenOn = displays.find(
    (display) =>
      overlap(asked.x, sizeOn(display).width, display.x, display.width) >= handle.width &&
      asked.y >= display.y &&
      overlap(asked.y, handle.height, display.y, display.height) >= handle.height,
  )
  if (seenOn) return { x: asked.x, y: asked.y, ...sizeOn(seenOn) }
  const { width, height } = sizeOn(main)
  return {
    x: Math.round(main.x + (main.width - width) / 2),
    y: Math.round(main.y + (main.height - height) / 2),
    width,
    height,
  }
}

/** Reads a rectangle that was kept, or null where what was kept is none. */
export function asRectangle(kept: unknown): Rectangle | null {
  if (typeof kept !== 'object' || kept === null) return null
  const { x, y, width, height } = kept as Record<string, unknown>
  const numbers = [x, y, width, height]
  if (!numbers.every((number) => typeof number === 'number' && Number.isFinite(number))) return null
  return { x, y, width, height } as Rectangle
}
