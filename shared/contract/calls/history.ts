import { z } from 'zod'
import { id, ofStudy, reads, writes } from './call.ts'

export const step = z.object({
  id: z.number().int(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  state: z.enum(['done', 'undone']),
})

export const history = {
  'history.list': reads(
    z.object({ studyId: id, limit: z.number().int().min(1).max(1000).optional() }),
    z.array(step),
  ),
  /** Takes back the last step in this study; its label, or null where there is none. */
  'history.undo': writes(ofStudy, z.object({ label: z.string().nullable() })),
  'history.redo': writes(ofStudy, z.object({ label: z.string().nullable() })),
}
