import type { Settings } from '../contract/things.ts'
import type { Outlook, Predictor } from './predictor.ts'
import type { Axis } from './region.ts'

/** Rounding alone puts no setting outside what was tested. */
const slack = 1e-9

/**
 * Why a setting lies beyond what was tested, or null where it does not: beyond the smallest and largest tested
 * value of a factor that the model uses, at a level that was not tested, or with more leverage than any run of
 * the fit (inside the ranges, yet away from all runs).
 */
export function beyondTested(options: {
  axes: readonly Axis[]
  predictor: Predictor
  tested: readonly Settings[]
  settings: Settings
  outlook: Outlook
}): string | null {
  const { axes, predictor, tested, settings, outlook } = options
  const used = axes.filter((axis) => predictor.columns.some((column) => column.name === axis.name))
  const reasons = used.flatMap(({ name }) => {
    const value = settings[name]
    const known = tested.map((other) => other[name]).filter((other) => other !== undefined)
    if (typeof value !== 'number')
      return known.some((other) => String(other) === value) ? [] : [`${name} ${value} was not tested`]
    const numbers = known.filter((other) => typeof other === 'number')
    const [low, high] = [Math.min(...numbers), Math.max(...numbers)]
    const reach = slack * Math.max(Math.abs(low), Math.abs(high))
    if (value < low - reach) return [`${name} ${value} is below the lowest tested, ${low}`]
    if (value > high + reach) return [`${name} ${value} is above the highest tested, ${high}`]
    return []
  })
  if (reasons.length > 0) return reasons.join(', ')
  return outlook.share > predictor.largestLeverage * (1 + slack)
    ? 'it is farther out than any run made'
    : null
}

/** How far a setting is from the nearest tested one: the largest difference in any factor as a share of its range. */
export function distanceToTested(
  axes: readonly Axis[],
  settings: Settings,
  tested: readonly Settings[],
): number {
  const distances = tested.map((other) =>
    Math.max(
      0,
      ...axes.map(({ name, factor }) => {
        const [a, b] = [settings[name], other[name]]
        if (typeof a !== 'number' || typeof b !== 'number') return Number(String(a) !== String(b))
        const width = (factor.high ?? 1) - (factor.low ?? 0)
        return width > 0 ? Math.abs(a - b) / width : 0
      }),
    ),
  )
  return Math.min(...distances, Number.POSITIVE_INFINITY)
}
