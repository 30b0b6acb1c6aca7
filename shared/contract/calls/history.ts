import { z } from 'zod'
import { id, reads, writes } from './call.ts'

export const step = z.object({
  id: z.number().int(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  state: z.enum(['done', 'undone']),
})

/** Null: the steps of no study, such as a tool that was entered outside one. */
const steps = z.object({ studyId: id.nullable() })

export const history = {
  'history.list': reads(steps.extend({ limit: z.number().int().min(1).max(1000).optional() }), z.array(step)),
  /** Takes back the last step in this study, or of those of no study; its label, or null where there is none. */
  'history.undo': writes(steps, z.object({ label: z.string().nullable() })),
  'history.redo': writes(steps, z.object({ label: z.string().nullable() })),
}
