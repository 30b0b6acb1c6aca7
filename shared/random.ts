import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64'
import { uniformInt } from 'pure-rand/distribution/uniformInt'
import { mersenne } from 'pure-rand/generator/mersenne'

/** The one seeded generator of the program: the same seed gives the same numbers on every machine. */
export type Random = {
  /** Uniform in [0, 1). */
  uniform(): number
  /** Standard normal, by the polar method of Marsaglia & Bray (SIAM Review 6, 1964). */
  normal(): number
  /** Whole number from 0 to `n` − 1. */
  below(n: number): number
  /** A new array with the items in random order (Fisher–Yates). */
  shuffled<T>(items: readonly T[]): T[]
}

/** Starts the generator from a whole number. */
export function seeded(seed: number): Random {
  const generator = mersenne(seed)
  let spare: number | undefined
  const uniform = () => uniformFloat64(generator)
  const below = (n: number) => uniformInt(generator, 0, n - 1)
  return {
    uniform,
    below,
    normal() {
      if (spare !== undefined) {
        const value = spare
        spare = undefined
        return value
      }
      for (;;) {
        const u = 2 * uniform() - 1
        const v = 2 * uniform() - 1
        const s = u * u + v * v
        if (s > 0 && s < 1) {
          const factor = Math.sqrt((-2 * Math.log(s)) / s)
          spare = v * factor
          return u * factor
        }
      }
    },
    shuffled<T>(items: readonly T[]): T[] {
      const result = [...items]
      for (let i = result.length - 1; i > 0; i--) {
        const j = below(i + 1)
        const held = result[i] as T
        result[i] = result[j] as T
        result[j] = held
      }
      return result
    },
  }
}

/**
 * A seed for one named thing out of the seed of a whole, so that what it draws does not depend on what others drew
 * before: FNV-1a, 32 bits, over the UTF-16 code units (G. Fowler, L. C. Noll, K.-P. Vo & D. Eastlake, The FNV
 * Non-Cryptographic Hash Algorithm, IETF draft).
 */
export function seedOf(...names: readonly (string | number)[]): number {
  let hash = 0x811c9dc5
  for (const character of names.join('/')) hash = Math.imul(hash ^ character.charCodeAt(0), 0x01000193)
  return hash >>> 0
}
