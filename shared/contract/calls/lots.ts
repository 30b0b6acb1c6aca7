import { z } from 'zod'
import { comparison } from '../results/compare.ts'
import { lotCheck } from '../results/lot-check.ts'
import { fieldDecision, lotDecision } from '../results/lot-decision.ts'
import { lotHistory } from '../results/lot-history.ts'
import { problem } from '../results/problem.ts'
import { settings } from '../things.ts'
import { done, id, ofStudy, reads, text, writes } from './call.ts'
import { curve, fitArgs } from './fits.ts'

const margin = z.number().gt(0).lt(1)
const compareArgs = fitArgs.extend({
  by: z.string(),
  groups: z.array(z.string()).max(50).optional(),
  target: z.number().positive().nullable(),
  margin: margin.nullable(),
})
const lotName = z.string().trim().min(1).max(200)

export const lots = {
  'lots.compare': reads(
    compareArgs,
    comparison.extend({
      /** One curve a group over speed, at the working point of the other factors. */
      curves: z.array(curve.extend({ group: z.string() })),
      dataHash: z.string(),
      problems: z.array(problem),
    }),
  ),
  /** What a person decided of lots of the study, newest first. */
  'lots.decisions': reads(ofStudy, z.array(lotDecision)),
  /**
   * Keeps what a person decides of a lot of the comparison that these arguments ask for, with its numbers. Refused where
   * the data are no longer those of `dataHash`.
   */
  'lots.decide': writes(
    compareArgs.extend({
      lot: lotName,
      decision: fieldDecision,
      who: z.string().trim().min(1).max(200),
      why: text.trim().min(1),
      dataHash: z.string(),
    }),
    done,
  ),
  /**
   * Every lot of the study's resist against the reference lot of its own study, over all studies that are not archived; by
   * the model of this study that is given, and otherwise by the one that a person chose or the widest that is suggested.
   */
  'lots.history': reads(ofStudy.extend({ model: z.string().optional() }), lotHistory),
  /** What a check of a new lot can show before it is coated, by the scatter of the study's runs about the model. */
  'lots.check': reads(fitArgs.extend({ margin }), lotCheck),
  /** Plans a check of a lot as a stage of one session: old, new, new, old; `each` wafers of each lot. */
  'lots.addCheck': writes(
    z.object({
      studyId: id,
      lot: lotName,
      against: lotName,
      each: z.number().int().min(2).max(20),
      settings,
    }),
    z.object({ stageId: id, runs: z.number().int(), session: z.string() }),
  ),
}
