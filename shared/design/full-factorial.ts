import type { Factor } from '../contract/things.ts'
import { gridOf } from './code.ts'
import { combinations, type DesignPoint } from './design-point.ts'

/** How many runs one replicate of the full grid has, without making it. */
export function gridSize(factors: readonly Factor[]): number {
  return factors.reduce((product, factor) => product * gridOf(factor).length, 1)
}

/**
 * Every combination of the factors' levels once, in standard order: the first factor changes fastest
 * (NIST/SEMATECH e-Handbook of Statistical Methods, 5.3.3.3.1).
 */
export function fullFactorial(factors: readonly Factor[]): DesignPoint[] {
  return combinations(factors.map(gridOf)).map((coded) => ({ kind: 'factorial', coded }))
}
