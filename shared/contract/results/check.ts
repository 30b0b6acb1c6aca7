import { z } from 'zod'
import { number } from './numbers.ts'

/** The checks, in the order of the work; those that `check` of the command line makes come first. */
export const checkCodes = [
  'ramp',
  'dwell',
  'speed',
  'chuck',
  'bake',
  'acceleration',
  'reached',
  'resist',
  'total',
  'settle',
  'bowl',
  'bottle',
] as const

export const finding = z.object({
  code: z.enum(checkCodes),
  severity: z.enum(['outside', 'warning']),
  segment: z.number().int().optional(),
  value: number,
  limit: number,
  limitConfirmed: z.boolean(),
  message: z.string(),
})
export type Finding = z.infer<typeof finding>

export const programCheck = z.object({
  ok: z.boolean(),
  segments: z.array(
    z.object({
      from: number,
      to: number,
      ramp: number,
      time: number,
      rampTime: number,
      timeAtSpeed: number,
    }),
  ),
  findings: z.array(finding),
})
export type ProgramCheck = z.infer<typeof programCheck>

/** What one check came to. One whose numbers were not all given was not made; one with nothing but warnings is within. */
export const checkState = z.object({
  code: z.enum(checkCodes),
  state: z.enum(['within', 'outside', 'not checked']),
  findings: z.array(finding),
})
export type CheckState = z.infer<typeof checkState>
