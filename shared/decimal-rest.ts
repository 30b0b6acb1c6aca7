import { add, divide, exactProduct, fromNumber, multiply, subtract } from './model/double-double.ts'

/** Powers of ten up to this one are exact as doubles, and so are whole numbers of this many digits. */
const [largestPower, exactDigits] = [22, 15]

const decimal = /^([+\u2212-]?)(\d*)(?:[.,](\d*))?(?:e([+-]?\d+))?$/i

/**
 * What a decimal holds beyond the double that it was read as: of 1000000000000.4 the double keeps
 * 1000000000000.4000244…, and this is −0.0000244…, to 15 digits of its own. Of decimals with more than 30 digits or
 * far from 1 it is taken as 0.
 *
 * @param text a number that was read as `value`, with decimal point or comma
 */
export function decimalRest(text: string, value: number): number {
  const [, sign, whole = '', fraction = '', exponent = '0'] = decimal.exec(text.trim()) ?? []
  const digits = (whole + fraction).replace(/^0+/, '')
  const power = Number(exponent) - fraction.length
  if (digits.length > 2 * exactDigits || Math.abs(power) > largestPower) return 0
  if (power === 0 && digits.length <= exactDigits) return 0
  const low = digits.slice(exactDigits)
  const high = exactProduct(Number(digits.slice(0, exactDigits)), Number(`1e${low.length}`))
  const size = add(high, fromNumber(Number(low)))
  const scale = fromNumber(Number(`1e${Math.abs(power)}`))
  const rest = subtract(power < 0 ? divide(size, scale) : multiply(size, scale), fromNumber(Math.abs(value)))
  return sign === '' || sign === '+' ? rest.hi : -rest.hi
}
