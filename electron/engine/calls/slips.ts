import type { Problem } from '../../../shared/problem.ts'
import { fromNanometres, type ThicknessUnit, thicknessUnits, toNanometres } from '../../../shared/units.ts'

/** A thickness just entered: nm, with the text and unit that were typed and its place in the entry, from 1. */
export type Entered = { row: number; site: number | null; valueNm: number; text: string; unit: ThicknessUnit }

/** How far from a whole power of ten a slip may lie, as a factor: films of one study differ that much. */
const spread = 1.78

/** Powers of ten that exchanging two of nm, Å and µm makes. */
const slips = [-4, -3, -1, 1, 3, 4]

/**
 * Readings that look as if their unit had been mistaken: a power of ten off what is expected of the run or
 * off the other readings of the substrate. They are kept as typed; the warning proposes what was meant.
 *
 * @param options.others thickness of the substrate's other readings, nm
 * @param options.expected thickness expected of the run, nm, where anything says so
 */
export function unitSlips(options: {
  entered: readonly Entered[]
  others: readonly number[]
  expected: number | null
}): Problem[] {
  const { entered, others, expected } = options
  const sorted = [...others, ...entered.map((reading) => reading.valueNm)].sort((a, b) => a - b)
  const single = entered.flatMap((reading) => {
    if (sorted.length < 4) return []
    const rest = medianWithout(sorted, reading.valueNm)
    if (slipOf(reading.valueNm, rest) === null) return []
    return warning([reading], rest, `the other sites of this substrate (${shown(rest, reading.unit)})`)
  })
  if (single.length > 0 || expected === null || entered.length === 0) return single
  const all = median(entered.map((reading) => reading.valueNm))
  if (slipOf(all, expected) === null) return []
  return warning(entered, expected, `what is expected of this run (${shown(expected, entered[0]!.unit)})`)
}

function warning(readings: readonly Entered[], reference: number, words: string): Problem[] {
  const first = readings[0] as Entered
  const power = slipOf(
    readings.length === 1 ? first.valueNm : median(readings.map((r) => r.valueNm)),
    reference,
  )
  if (power === null) return []
  const meant = thicknessUnits.find(
    (unit) => Math.abs(Math.log10(toNanometres(1, unit) / toNanometres(1, first.unit)) + power) < 0.1,
  )
  const times = power > 0 ? `${10 ** power} times` : `1/${10 ** -power} of`
  const which = readings.length === 1 ? `‘${first.text}’ ${first.unit}` : `These ${readings.length} readings`
  const proposal = meant
    ? ` Was it read in ${meant}? ${first.valueNm === 0 ? '' : `‘${first.text}’ ${meant} is ${shown(first.valueNm / 10 ** power, first.unit)}.`}`
    : ' Look whether a digit or the decimal sign slipped.'
  return [
    {
      code: 'unitSlip',
      message: `${which}: about ${times} ${words}.${proposal} It is kept as typed.`,
      row: first.row,
      ...(readings.length === 1 && first.site !== null ? { column: `site ${first.site}` } : {}),
    },
  ]
}

/** The power of ten by which a value is off, or null where it is not. */
function slipOf(value: number, reference: number): number | null {
  if (!(value > 0 && reference > 0)) return null
  const decades = Math.log10(value / reference)
  return slips.find((power) => Math.abs(decades - power) < Math.log10(spread)) ?? null
}

/** Median of sorted values without one of them. */
function medianWithout(sorted: readonly number[], value: number): number {
  let [low, high] = [0, sorted.length - 1]
  while (low < high) {
    const middle = (low + high) >> 1
    if ((sorted[middle] as number) < value) low = middle + 1
    else high = middle
  }
  const at = (k: number) => sorted[k < low ? k : k + 1] as number
  const middle = (sorted.length - 1) / 2
  return Number.isInteger(middle) ? (at(middle - 1) + at(middle)) / 2 : at(Math.floor(middle))
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length / 2
  return sorted.length % 2 === 1
    ? (sorted[Math.floor(middle)] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2
}

function shown(valueNm: number, unit: ThicknessUnit): string {
  return `${Number(fromNanometres(valueNm, unit).toPrecision(5))} ${unit}`
}
