import { plainNumber } from '../charts/format.ts'
import type { HotPlate } from '../contract/tools.ts'

/** How the surface of a hot plate stands to its display. */
export type PlateOffset = Pick<HotPlate, 'surfaceOffset' | 'offsets'>
type Pair = HotPlate['offsets'][number]

/** Surface temperature, °C, at a display; the display itself where no plate is known. */
export function surfaceOf(plate: PlateOffset | null, display: number): number {
  if (!plate) return display
  if (plate.offsets.length === 0) return display + plate.surfaceOffset
  return between(plate.offsets, display, 'display', 'surface')
}

/** Display, °C, that gives a surface temperature: the other way of {@link surfaceOf}. */
export function displayOf(plate: PlateOffset | null, surface: number): number {
  if (!plate) return surface
  if (plate.offsets.length === 0) return surface - plate.surfaceOffset
  return between(plate.offsets, surface, 'surface', 'display')
}

/** Whether a table can be read both ways. */
export function isRising(offsets: readonly Pair[]): boolean {
  return offsets.slice(1).every((pair, i) => {
    const before = offsets[i] as Pair
    return pair.display > before.display && pair.surface > before.surface
  })
}

/** The offset as a part of a sentence. */
export function offsetInWords(plate: PlateOffset): string {
  if (plate.offsets.length === 0) return `surface ${plainNumber(plate.surfaceOffset)} °C from the display`
  return `surface by its table: ${plate.offsets.map(({ display, surface }) => `${plainNumber(surface)} at ${plainNumber(display)}`).join(', ')} °C`
}

/** Linear between the rows of the table; beyond its ends the difference of the last row holds. */
function between(offsets: readonly Pair[], at: number, from: keyof Pair, to: keyof Pair): number {
  const above = offsets.findIndex((pair) => pair[from] >= at)
  const high = offsets[above] ?? (offsets.at(-1) as Pair)
  const low = above > 0 ? (offsets[above - 1] as Pair) : high
  if (low === high) return at + high[to] - high[from]
  return low[to] + ((at - low[from]) / (high[from] - low[from])) * (high[to] - low[to])
}
