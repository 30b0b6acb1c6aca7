import { z } from 'zod'
import { study, studyInput } from '../things.ts'
import { done, id, nothing, ofStudy, reads, writes } from './call.ts'

export const studySummary = z.object({
  id,
  name: z.string(),
  question: z.string(),
  targetNm: z.number().nullable(),
  toleranceNm: z.number().nullable(),
  thicknessUnit: z.enum(['nm', 'Å', 'µm']),
  simulated: z.boolean(),
  archived: z.boolean(),
  /** Runs still to be read: planned or coated. */
  runsPlanned: z.number().int(),
  runsMeasured: z.number().int(),
  changedAt: z.string(),
})

export const studies = {
  'studies.list': reads(nothing, z.array(studySummary)),
  /** Runs of all studies whose code holds these words, those of studies changed last first; 20 at most. */
  'studies.findRuns': reads(
    z.object({ words: z.string().min(1).max(100) }),
    z.array(z.object({ runId: id, code: z.string(), studyId: id, studyName: z.string() })),
  ),
  'studies.get': reads(ofStudy, study),
  'studies.create': writes(z.object({ study: studyInput.partial().required({ name: true }) }), ofStudy),
  'studies.update': writes(z.object({ studyId: id, change: studyInput.partial() }), done),
  'studies.setModel': writes(z.object({ studyId: id, model: z.string().max(2000).nullable() }), done),
  'studies.setArchived': writes(z.object({ studyId: id, archived: z.boolean() }), done),
  /** Makes the demo study of an invented film; the same seed makes the same numbers. */
  'studies.demo': writes(z.object({ seed: z.number().int().min(0).optional() }), ofStudy),
}
