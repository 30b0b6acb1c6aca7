import { z } from 'zod'
import { checkCodes } from '../choices.ts'
import { number } from './numbers.ts'

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
