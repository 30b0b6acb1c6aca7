import { z } from 'zod'
import { changedFilm } from '../film-parameters.ts'
import { budget, plan } from '../results/plan.ts'
import { rehearsal } from '../results/rehearsal.ts'
import { replanned } from '../results/replan.ts'
import { designSettings, factor, practice, settings } from '../things.ts'
import { id, ofStudy, reads, text, writes } from './call.ts'

export const plans = {
  /**
   * Computes a design without keeping it: run table, evaluation, budget. A newer one asked by the same page ends
   * this one, which is then answered with the problem `superseded`.
   */
  'plans.preview': reads(
    z.object({ studyId: id, factors: z.array(factor).max(12), design: designSettings }),
    plan,
  ),
  /**
   * Carries a design out many times on an invented film, and says how well it answers; nothing is kept. Lengths in nm.
   * Without a model the largest usual one that the runs carry is fitted. A newer one of the same page ends this one.
   */
  'plans.rehearse': reads(
    z.object({
      studyId: id,
      factors: z.array(factor).max(12),
      design: designSettings,
      targetNm: z.number().positive(),
      toleranceNm: z.number().positive().nullable(),
      model: z.string().max(2000).optional(),
      times: z.number().int().min(2).max(2000),
      seed: z
        .number()
        .int()
        .min(0)
        .max(2 ** 30),
      film: changedFilm.optional(),
    }),
    rehearsal,
  ),
  /**
   * Keeps factors and design as a new stage. A stage none of whose runs has been coated or read, named in
   * `replaces`, goes away in the same step.
   */
  'plans.save': writes(
    z.object({
      studyId: id,
      factors: z.array(factor).min(1).max(12),
      design: designSettings,
      replaces: id.optional(),
    }),
    z.object({ stageId: id, runs: z.number().int() }),
  ),
  /** Adds one run by hand with the given settings. */
  'plans.addRun': writes(
    z.object({ studyId: id, settings, lot: z.string().nullable(), note: text.optional() }),
    z.object({ runId: id }),
  ),
  /**
   * A plan broken on the day: what can still be estimated from the runs done, and the best runs for what is left, by
   * number or by minutes at the bench; `bakeOnly` is the display, °C, at which the plate is stuck. Nothing is kept.
   */
  'plans.replan': reads(
    z.object({
      studyId: id,
      left: z.union([
        z.object({ runs: z.number().int().min(1).max(100) }),
        z.object({ minutes: z.number().positive().max(10000) }),
      ]),
      bakeOnly: z.number().nullable(),
      forbid: z.string().max(2000).optional(),
      seed: z
        .number()
        .int()
        .min(0)
        .max(2 ** 31 - 1)
        .optional(),
    }),
    replanned,
  ),
  /**
   * Takes the proposed runs in place of those that are planned and not done, which are dropped with the reason. They go
   * into the session named, else into that of the first run that they replace.
   */
  'plans.applyReplan': writes(
    z.object({
      studyId: id,
      runs: z
        .array(z.object({ settings, plateVisit: z.number().int().nullable() }))
        .min(1)
        .max(100),
      reason: z.string().trim().min(1).max(500),
      session: z.string().trim().min(1).max(200).optional(),
    }),
    z.object({ stageId: id, dropped: z.number().int(), runs: z.number().int() }),
  ),
  /**
   * Makes a study that is a copy of this one's plan, to be practised on an invented film: a run that is marked as
   * coated gets its readings in the same step. Without a seed one is drawn by chance.
   */
  'plans.practise': writes(
    z.object({ studyId: id, seed: practice.shape.seed.optional(), film: changedFilm.optional() }),
    ofStudy,
  ),
  /** What the runs that are still planned will cost. */
  'plans.remaining': reads(ofStudy, budget),
}
