import type { Surface } from '../charts/contour-bands.ts'
import { contourKey } from '../charts/contour-chart.ts'
import { fixed, percent, plainNumber, quantity, type Shown } from '../charts/format.ts'
import type { Tolerance } from '../charts/guides.ts'
import { targetWords } from './prediction-words.ts'

/**
 * From where to where the response goes over two factors, what share of the plane is within the tolerance by the fit, and,
 * where the chances are known, the best chance that a wafer is.
 */
export function surfaceSentence(
  surface: Surface,
  options: { shown: Shown; tolerance: Tolerance | null; chances: Surface | null },
): string {
  const { shown, tolerance, chances } = options
  const { decimals } = contourKey({ surface, shown })
  const value = (index: number) =>
    quantity(fixed(shown.of(surface.values[index] as number), decimals), shown.unit)
  const [low, high] = [lowest(surface.values), lowest(surface.values.map((each) => -each))]
  const range =
    `Over this plane the fit goes from ${value(low)} at ${placeWords(surface, low)} to ${value(high)} at ` +
    `${placeWords(surface, high)}.`
  if (tolerance?.tolerance == null) return range
  const { target, tolerance: margin } = tolerance
  const within = surface.values.filter((each) => Math.abs(each - target) <= margin).length
  const share = percent(within / surface.values.length, 0)
  const goal = `${targetWords(target, { ...shown, unit: '' })} ± ${quantity(plainNumber(shown.of(margin)), shown.unit)}`
  const inside =
    within === 0
      ? ` Nowhere in it is the fitted value within ${goal}.`
      : ` In ${share} of it the fitted value is within ${goal}.`
  if (!chances || chances.values.length === 0) return range + inside
  const best = lowest(chances.values.map((each) => -each))
  return `${range}${inside} The chance that a wafer is in tolerance is highest at ${placeWords(chances, best)}: ${percent(chances.values[best], 0)}.`
}

const lowest = (values: readonly number[]) =>
  values.reduce((best, value, index) => (value < (values[best] as number) ? index : best), 0)

/** The settings of a sample of the grid: `speed 2000 rpm, bake 90 °C`. */
function placeWords({ x, y, columns, rows }: Surface, index: number): string {
  const [i, j] = [index % columns, Math.floor(index / columns)]
  const at = ({ name, unit, low, high }: Surface['x'], share: number) =>
    `${name} ${quantity(plainNumber(Number((low + share * (high - low)).toPrecision(4))), unit)}`
  return `${at(x, i / (columns - 1))}, ${at(y, j / (rows - 1))}`
}
