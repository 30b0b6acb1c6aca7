import { apply, columnOf, type Expression } from './expression.ts'

/** How the model's response is made from the measured one, and back. */
export type ResponseScale = {
  /** Name of the measured column. */
  name: string
  function: 'plain' | 'log' | 'log10' | 'sqrt' | 'exp' | 'inverse'
}

/** The scale of a formula's response. */
export function responseScale(response: Expression): ResponseScale {
  return { name: columnOf(response), function: response.kind === 'function' ? response.name : 'plain' }
}

/** The model's response for a measured value; NaN where there is none. */
export function toModel(scale: ResponseScale, y: number): number {
  return scale.function === 'plain' ? y : apply(scale.function, y)
}

/** The measured value for a model's response; NaN where there is none. */
export function toMeasured(scale: ResponseScale, eta: number): number {
  switch (scale.function) {
    case 'plain':
      return eta
    case 'log':
      return Math.exp(eta)
    case 'log10':
      return 10 ** eta
    case 'sqrt':
      return eta >= 0 ? eta * eta : Number.NaN
    case 'exp':
      return eta > 0 ? Math.log(eta) : Number.NaN
    case 'inverse':
      return eta === 0 ? Number.NaN : 1 / eta
  }
}

/** |dy/dη| at η: turns a standard error on the model's scale into the response's unit. */
export function slopeToMeasured(scale: ResponseScale, eta: number): number {
  switch (scale.function) {
    case 'plain':
      return 1
    case 'log':
      return Math.exp(eta)
    case 'log10':
      return Math.LN10 * 10 ** eta
    case 'sqrt':
      return 2 * Math.abs(eta)
    case 'exp':
      return 1 / Math.abs(eta)
    case 'inverse':
      return 1 / (eta * eta)
  }
}

/**
 * An interval of the model's response as one of the measured response; null where that has no bound (the
 * inverse of an interval around zero). Under a root, what lies below zero ends at zero.
 */
export function intervalToMeasured(
  scale: ResponseScale,
  [low, high]: readonly [number, number],
): [number, number] | null {
  if (scale.function === 'sqrt') return high < 0 ? null : [Math.max(low, 0) ** 2, high ** 2]
  if (scale.function === 'inverse' && low <= 0 && high >= 0) return null
  const ends = [toMeasured(scale, low), toMeasured(scale, high)].sort((a, b) => a - b)
  return ends.every(Number.isFinite) ? (ends as [number, number]) : null
}
