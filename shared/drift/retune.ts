import { tQuantile } from '../model/distributions.ts'

/** An estimate on the logarithm of the thickness, with its error. */
export type Shift = { estimate: number; standardError: number; df: number }

/** The speed that brings a drifted film back, with its interval. */
export type Retuned = { speed: number; lower: number; upper: number }

/**
 * The speed at which a film that has come to be e^shift times what it should is right again, where the thickness goes
 * with speed to the power of −b near the recipe: N·e^(shift/b). Its error is that of the shift and of b, by the first
 * terms of Taylor's series (JCGM 100:2008, 5.1.2), on the shift's degrees of freedom.
 *
 * @param options.exponent b, more than 0, with its standard error
 */
export function retunedSpeed(options: {
  speed: number
  shift: Shift
  exponent: { value: number; standardError: number }
  level?: number
}): Retuned {
  const { speed, shift, exponent, level = 0.95 } = options
  const move = shift.estimate / exponent.value
  const error = Math.hypot(shift.standardError, move * exponent.standardError) / exponent.value
  const reach = tQuantile((1 + level) / 2, shift.df) * error
  return {
    speed: speed * Math.exp(move),
    lower: speed * Math.exp(move - reach),
    upper: speed * Math.exp(move + reach),
  }
}
