import type { ResponseScale } from '../model/response.ts'

/** A number to the digits that its uncertainty allows: the uncertainty keeps two of its own. */
export function figure(value: number, uncertainty: number): string {
  if (!(uncertainty > 0)) return String(Number(value.toPrecision(5)))
  return value.toFixed(Math.min(12, Math.max(0, 1 - Math.floor(Math.log10(uncertainty)))))
}

/** A chance in percent, without ever rounding to certainty. */
export function chanceInWords(chance: number): string {
  if (chance > 0.999) return 'more than 99.9 %'
  if (chance < 0.001) return 'less than 0.1 %'
  return `${(100 * chance).toFixed(chance > 0.99 || chance < 0.01 ? 1 : 0)} %`
}

/** A standard error on the model's scale: in percent under a logarithm, in the response's unit where it is plain. */
export function errorInWords(scale: ResponseScale, standardError: number, unit: string): string {
  if (scale.function === 'log') return `${(100 * standardError).toPrecision(3)} %`
  if (scale.function === 'log10') return `${(100 * Math.LN10 * standardError).toPrecision(3)} %`
  const number = Number(standardError.toPrecision(3))
  return scale.function === 'plain' && unit !== '' ? `${number} ${unit}` : String(number)
}
