import { z } from 'zod'

/**
 * Results of the computations stand in the shapes that the command line prints with --json: missing numbers are
 * null, never NaN; fractions everywhere, percent only under `nonUniformity`, `dEfficiency` and `blockEfficiency`.
 */

export const number = z.number()
export const maybe = z.number().nullable()
export const interval = z.tuple([z.number(), z.number()])
