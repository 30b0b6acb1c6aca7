import { decimalsFor, fixed, percent, plainNumber, quantity, type Shown } from '../charts/format.ts'
import type { PredictionResult, TargetSetting } from '../contract/results/fit.ts'
import { scopeWords } from '../next/scope.ts'
import { spanWords } from './fit-words.ts'

/** What the fit predicts at one place, with both intervals, and what they would be without what is stated of variances. */
export function predictionSentence(given: PredictionResult, shown: Shown, level: number): string {
  const places = decimalsFor(shown.of(given.prediction[1] - given.prediction[0]) / 4)
  const number = (value: number) => fixed(shown.of(value), places)
  const span = ([low, high]: [number, number]) => `between ${number(low)} and ${number(high)}`
  const { without } = given
  const alone =
    without === undefined
      ? ''
      : without === null
        ? ' These runs alone, without what is stated of variances, give no interval.'
        : ` By these runs alone the next run would lie ${span(without.prediction)}.`
  return (
    `At the working point: ${quantity(number(given.estimate), shown.unit)}. The mean lies ${span(given.confidence)}, ` +
    `the next run ${span(given.prediction)} (${percent(level, 0)}, ${scopeWords[given.scope]}).${alone}`
  )
}

/** A level as percent, with the digits that it has. */
const levelWords = (level: number) => quantity(plainNumber(100 * level), '%')

/** The target in the unit in which it is shown. */
export const targetWords = (target: number, { of, unit }: Shown): string =>
  quantity(plainNumber(of(target)), unit)

/**
 * At which setting the target is reached, with both intervals.
 *
 * @param options.unit of the factor
 */
export function targetSentence(
  found: Pick<TargetSetting, 'column' | 'setting' | 'lower' | 'upper' | 'oneRun' | 'scope'>,
  options: { target: number; shown: Shown; unit: string; level: number },
): string {
  const { target, shown, unit, level } = options
  return (
    `The fit reaches ${shown.name} ${targetWords(target, shown)} at ${found.column} ` +
    `${quantity(plainNumber(Number(found.setting.toPrecision(4))), unit)}. With ${levelWords(level)} confidence its mean ` +
    `is reached ${spanWords(found, unit)}; one new run${found.scope === 'otherSession' ? ' of another session' : ''} may ` +
    `read it ${spanWords(found.oneRun, unit)}.`
  )
}

/** What is said where the curve does not come to the target. */
export function targetNotReached(target: number, shown: Shown, factor: string): string {
  return `The target of ${targetWords(target, shown)} is not reached near the tested settings of ${factor}.`
}
