import type { RecipeAnswer } from '../contract/results/recipe.ts'
import type { Axis, Place } from './region.ts'
import type { Work } from './work.ts'

/** Factors of which one step either way no longer holds; the end of the region is such a step, since nothing is known beyond. */
export function edgeOf({ axes }: Work, place: Place, holds: (place: Place) => boolean): string[] {
  const bears = (i: number, by: number) => {
    const index = (place[i] as number) + by
    return index >= 0 && index < (axes[i]?.size ?? 0) && holds(moved(place, i, index))
  }
  return axes.flatMap(({ name, factor, size }, i) =>
    factor.kind === 'categorical' || size < 2 || (bears(i, -1) && bears(i, 1)) ? [] : [name],
  )
}

/** How far each factor of numbers may go from the place, the others staying, while the place still holds. */
export function movesFrom(
  { axes, options }: Work,
  place: Place,
  holds: (place: Place) => boolean,
): RecipeAnswer['moves'] {
  return axes.flatMap((axis, i) => {
    if (axis.factor.kind === 'categorical' || axis.size < 2) return []
    const here = place[i] as number
    const at = (index: number) => holds(moved(place, i, index))
    const end = (last: number) => numberAt(axis, lastHolding(here, last, at))
    const { unit = '' } = options.region.find(({ name }) => name === axis.name) ?? {}
    const last = axis.size - 1
    const region = [axis.setting(0) as number, axis.setting(last) as number] as [number, number]
    return [
      { factor: axis.name, unit, at: axis.setting(here) as number, lower: end(0), upper: end(last), region },
    ]
  })
}

const numberAt = (axis: Axis, index: number | null) =>
  index === null ? null : (axis.setting(index) as number)

/** The last index from `here` towards `last` at which it holds, what holds lying together; null: it holds to the end. */
function lastHolding(here: number, last: number, holds: (index: number) => boolean): number | null {
  const direction = Math.sign(last - here)
  let [inside, stride] = [here, 1]
  // Doubling strides until it fails, then halving back.
  for (;;) {
    if (inside === last) return null
    const next = direction > 0 ? Math.min(last, inside + stride) : Math.max(last, inside - stride)
    if (!holds(next)) {
      let outside = next
      while (Math.abs(outside - inside) > 1) {
        const middle = Math.trunc((inside + outside) / 2)
        if (holds(middle)) inside = middle
        else outside = middle
      }
      return inside
    }
    inside = next
    stride *= 2
  }
}

const moved = (place: Place, axis: number, index: number): Place =>
  place.map((value, k) => (k === axis ? index : value))
