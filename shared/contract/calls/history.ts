import { z } from 'zod'
import { toldStep } from '../results/history.ts'
import { id, reads, writes } from './call.ts'

export const step = z.object({
  id: z.number().int(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  state: z.enum(['done', 'undone']),
})

/**
 * Null: the steps of no study, such as a tool that was entered outside one, and those of the study whose making was taken
 * back last, so that it can be made again.
 */
const steps = z.object({ studyId: id.nullable() })

/** The label of the step, null where there is none; its study, null where that is not there (any more). */
const moved = z.object({ label: z.string().nullable(), studyId: id.nullable() })

export const history = {
  'history.list': reads(steps.extend({ limit: z.number().int().min(1).max(1000).optional() }), z.array(step)),
  /**
   * What changed, step by step, newest first, in words: of a study, or of one run of it with what touched that run alone.
   * `before` goes on where a page ended: it is null behind the last.
   */
  'history.read': reads(
    steps.extend({
      runId: id.optional(),
      before: z.number().int().optional(),
      limit: z.number().int().min(1).max(200).optional(),
    }),
    z.object({ steps: z.array(toldStep), before: z.number().int().nullable() }),
  ),
  /** Takes back the last step in this study, or of those of no study. */
  'history.undo': writes(steps, moved),
  'history.redo': writes(steps, moved),
}
