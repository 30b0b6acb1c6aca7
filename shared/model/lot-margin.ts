import { plainNumber, quantity } from '../charts/format.ts'
import { fromNanometres, type ThicknessUnit } from '../units.ts'

/** Where nothing else tells it, lots within so much count as equal (common practice, no source). */
const usualMargin = 0.01

/** What part of the tolerance a lot may take (common practice, no source). */
const shareOfTolerance = 1 / 3

/** The margin, and in words where it comes from. */
export type LotMargin = { margin: number; from: string }

/**
 * The largest shift of a lot that counts as none: a third of the tolerance around the target, so that the rest is left to
 * days and wafers; where no tolerance is stated, what is usual.
 *
 * @param unit in which the words say it
 */
export function lotMargin(
  study: { targetNm: number | null; toleranceNm: number | null },
  unit: ThicknessUnit = 'nm',
): LotMargin {
  const { targetNm: target, toleranceNm: tolerance } = study
  if (target === null || tolerance === null || !(target > 0) || !(tolerance > 0))
    return { margin: usualMargin, from: 'usual, as no tolerance is stated' }
  const shown = (nm: number) => quantity(plainNumber(fromNanometres(nm, unit)), unit)
  // What is shown has to be what is judged by.
  const margin = Number((shareOfTolerance * (tolerance / target)).toPrecision(2))
  return {
    margin,
    from: `a third of the tolerance, ±${shown(tolerance)} at ${shown(target)}`,
  }
}
