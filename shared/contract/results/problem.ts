import { z } from 'zod'

export const problem = z.object({
  code: z.string(),
  message: z.string(),
  row: z.number().optional(),
  column: z.string().optional(),
})
