import { fixed, plainNumber, significant } from '../charts/format.ts'
import type { ResponseScale } from '../model/response.ts'

/** A number to the digits that its uncertainty allows: the uncertainty keeps two of its own. */
export function figure(value: number, uncertainty: number): string {
  if (!(uncertainty > 0)) return plainNumber(value, 5)
  return fixed(value, Math.min(12, Math.max(0, 1 - Math.floor(Math.log10(uncertainty)))))
}

/** A chance in percent, without ever rounding to certainty. */
export function chanceInWords(chance: number): string {
  if (chance > 0.999) return `more than ${fixed(99.9, 1)} %`
  if (chance < 0.001) return `less than ${fixed(0.1, 1)} %`
  return `${fixed(100 * chance, chance > 0.99 || chance < 0.01 ? 1 : 0)} %`
}

/** The same of a chance that is less than another, with as many decimals as it takes to tell them apart. */
export function chanceBelow(chance: number, other: number): string {
  if (chanceInWords(chance) !== chanceInWords(other)) return chanceInWords(chance)
  for (let decimals = 1; decimals < 4; decimals++) {
    const [own, theirs] = [chance, other].map((value) => (100 * value).toFixed(decimals))
    if (own !== theirs) return `${own} %`
  }
  return 'hardly less'
}

/** A standard error on the model's scale: in percent under a logarithm, in the response's unit where it is plain. */
export function errorInWords(scale: ResponseScale, standardError: number, unit: string): string {
  if (scale.function === 'log') return `${significant(100 * standardError, 3)} %`
  if (scale.function === 'log10') return `${significant(100 * Math.LN10 * standardError, 3)} %`
  const number = plainNumber(standardError, 3)
  return scale.function === 'plain' && unit !== '' ? `${number} ${unit}` : number
}
