import { plainNumber } from '../charts/format.ts'
import type { Reading } from '../contract/things.ts'
import {
  fromNanometres,
  type ThicknessUnit,
  thicknessUnitOf,
  thicknessUnits,
  toNanometres,
  withoutUnit,
} from '../units.ts'
import { beadWidthMm } from './edge-bead.ts'
import { fromEdge, type Outline } from './substrate.ts'

/** A thickness as it was typed, at its place in mm from the centre where that is known. */
export type TypedReading = {
  site: number | null
  x: number | null
  y: number | null
  valueNm: number
  text: string
  unit: ThicknessUnit
}

/** A thickness reading of a run as it was typed. */
export function typedReading({
  site,
  xMm,
  yMm,
  value,
  text,
  unit,
}: Pick<Reading, 'site' | 'xMm' | 'yMm' | 'value' | 'text' | 'unit'>): TypedReading {
  return { site, x: xMm, y: yMm, valueNm: value, text, unit: thicknessUnitOf(unit) ?? 'nm' }
}

const doubtCauses = [
  'unitSlip',
  'digitSwap',
  'fringeOrder',
  'edgeBead',
  'singleLow',
  'singleHigh',
  'gaugeRange',
  'level',
] as const
export type DoubtCause = (typeof doubtCauses)[number]

/** A cause, with the text to type instead where the cause is a mistake of typing, and what it rests on. */
export type Explanation = {
  cause: DoubtCause
  correction?: string
  /** Unit slips: the power of ten, and the unit that was meant. */
  power?: number
  meant?: ThicknessUnit
  /** Fringe order: the jump, nm. */
  jumpNm?: number
}

/** What is expected at a site: thickness in nm and its standard deviation on the log scale. */
export type SiteExpectation = { nm: number; sd: number }

/** How far from a whole power of ten a unit slip may lie, as a factor: films of one study differ that much. */
const slipSpread = 1.78
/** Powers of ten by which nm, Å, kÅ and µm differ. */
const slipPowers = [-4, -3, -2, -1, 1, 2, 3, 4]
/** A correction must come this near to what is expected: standard deviations, and share of the film at least. */
const near = { deviations: 2.5, share: 0.005 }
/** λ/2n for green to red light and resist, nm (from memory), where the gauge does not say its own. */
const usualFringe = [150, 200] as const
/** The most that an edge bead adds to the film; common practice, no source. */
const beadHeight = 0.3

/** The power of ten by which a value is off, or null where it is not. */
export function slipPower(value: number, expected: number): number | null {
  if (!(value > 0 && expected > 0)) return null
  const decades = Math.log10(value / expected)
  return slipPowers.find((power) => Math.abs(decades - power) < Math.log10(slipSpread)) ?? null
}

/** The unit slip by a power of ten, with what to type instead. */
export function slipBy(reading: TypedReading, power: number): Explanation {
  const meant = thicknessUnits.find(
    (unit) => Math.abs(Math.log10(toNanometres(1, unit) / toNanometres(1, reading.unit)) + power) < 0.1,
  )
  const correction = meant
    ? `${withoutUnit(reading.text)} ${meant}`
    : `${plainNumber(fromNanometres(reading.valueNm / 10 ** power, reading.unit), 8)} ${reading.unit}`
  return { cause: 'unitSlip', power, correction, ...(meant ? { meant } : {}) }
}

/** What may have gone wrong with one reading, the likeliest first; never empty. */
export function causesOf(
  reading: TypedReading,
  expected: SiteExpectation,
  tools: { outline: Outline; optical: boolean; fringeStep: number | null },
): Explanation[] {
  const { valueNm } = reading
  const power = slipPower(valueNm, expected.nm)
  if (power !== null) return [slipBy(reading, power)]
  const found: Explanation[] = []
  const swapped = swaps(reading)
    .map((correction) => ({ correction, off: Math.abs(Math.log(correction.valueNm / expected.nm)) }))
    .filter(({ off }) => off <= Math.max(near.deviations * expected.sd, near.share))
    .sort((a, b) => a.off - b.off)[0]
  if (swapped) found.push({ cause: 'digitSwap', correction: `${swapped.correction.text} ${reading.unit}` })
  const jumpNm = valueNm - expected.nm
  if (
    tools.optical &&
    isFringe(Math.abs(jumpNm), tools.fringeStep, near.deviations * expected.sd * expected.nm)
  )
    found.push({ cause: 'fringeOrder', jumpNm })
  const { x, y } = reading
  const atRim = x !== null && y !== null && fromEdge(tools.outline, { x, y }) <= beadWidthMm
  if (atRim && jumpNm > 0 && jumpNm < beadHeight * expected.nm) found.push({ cause: 'edgeBead' })
  return [...found, { cause: jumpNm < 0 ? 'singleLow' : 'singleHigh' }]
}

/** Whether a jump is one to three fringe orders. */
function isFringe(jump: number, step: number | null, slack: number): boolean {
  if (step === null) return jump >= usualFringe[0] - slack && jump <= usualFringe[1] + slack
  const orders = Math.round(jump / step)
  return orders >= 1 && orders <= 3 && Math.abs(jump - orders * step) <= Math.max(slack, 0.1 * step)
}

/** The texts that exchanging two neighbouring digits makes, with their thickness. */
function swaps({ text, unit, valueNm }: TypedReading): { text: string; valueNm: number }[] {
  const digits = [...withoutUnit(text)]
  const places = digits.flatMap((digit, i) => (/\d/.test(digit) ? [i] : []))
  const written = Number(digits.join('').replace(',', '.'))
  // Texts such as ‘1 504,2’ are left alone: only a plain number is sure to be read as it was.
  if (!(written > 0) || Math.abs(toNanometres(written, unit) / valueNm - 1) > 1e-9) return []
  return places.slice(1).flatMap((place, k) => {
    const before = places[k] as number
    const other = [...digits]
    other[place] = digits[before] as string
    other[before] = digits[place] as string
    const changed = other.join('')
    const value = toNanometres(Number(changed.replace(',', '.')), unit)
    return value > 0 && changed !== digits.join('') ? [{ text: changed, valueNm: value }] : []
  })
}
