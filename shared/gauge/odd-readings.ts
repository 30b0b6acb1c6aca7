import { largest, smallest } from '../extremes.ts'
import { slipPower } from '../film/doubt-causes.ts'
import { median } from '../model/groups.ts'
import { grouped } from './grouped.ts'

/** A reading lies far from the others by this share of them and so many times their range (ours, no source). */
const far = { share: 0.2, ranges: 3 }

/** A reading that looks mistyped, by its place in the list, and the middle of the others that it is held against. */
export type OddReading = { index: number; others: number; power: number | null }

/**
 * Readings of a gauge study that are off from the others of their wafer by about a power of ten, or lie
 * far from them.
 * Where a wafer has no other reading those of the other wafers tell of powers of ten.
 */
export function oddReadings(readings: readonly { wafer: string; value: number }[]): OddReading[] {
  const all = readings.map(({ wafer, value }, index) => ({ wafer, value, index }))
  const byWafer = grouped(all, ({ wafer }) => wafer)
  return all.flatMap(({ wafer, value, index }): OddReading[] => {
    const without = (list: typeof all) => list.flatMap((one) => (one.index === index ? [] : [one.value]))
    const own = without(byWafer.get(wafer) ?? [])
    const rest = own.length > 0 ? own : without(all)
    if (rest.length === 0) return []
    const others = median(rest)
    const power = slipPower(value, others)
    const range = largest(rest) - smallest(rest)
    const isFar =
      own.length > 2 &&
      others > 0 &&
      Math.abs(value - others) > Math.max(far.share * others, far.ranges * range)
    return power !== null || isFar ? [{ index, others, power }] : []
  })
}

/** What is asked about such a reading; `show` writes a length in the unit at hand. */
export function oddReadingWords({ others, power }: OddReading, show: (value: number) => string): string {
  const size =
    power === null
      ? 'lies far from'
      : `is about ${10 ** Math.abs(power)} times ${power > 0 ? 'larger' : 'smaller'} than`
  return `${size} its others, about ${show(others)}. Is the decimal sign or the unit right? If not, put it right.`
}
