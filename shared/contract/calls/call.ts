import { z } from 'zod'

/** One call: what goes in, what comes out, and whether it changes the database. */
type Call = { args: z.ZodType; result: z.ZodType; writes: boolean }

export const reads = <A extends z.ZodType, R extends z.ZodType>(args: A, result: R) =>
  ({ args, result, writes: false }) as const satisfies Call
export const writes = <A extends z.ZodType, R extends z.ZodType>(args: A, result: R) =>
  ({ args, result, writes: true }) as const satisfies Call

export const id = z.uuid()
export const nothing = z.object({})
export const done = z.object({ done: z.literal(true) })
export const ofStudy = z.object({ studyId: id })
export const text = z.string().max(20000)
