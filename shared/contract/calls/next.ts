import { z } from 'zod'
import { confirmationJudgement, confirmationRecord } from '../results/confirmation.ts'
import { predictionResult } from '../results/fit.ts'
import { ledgerScore } from '../results/ledger.ts'
import { batch, choice, recommendation, setErrors } from '../results/next.ts'
import { recipeAnswer } from '../results/recipe.ts'
import { settings } from '../things.ts'
import { id, ofStudy, reads, writes } from './call.ts'
import { contour, fitArgs } from './fits.ts'

/** Runs that are chosen together, at most. */
const mostInBatch = 8

export const ledgerEntry = z.object({
  id,
  at: z.string(),
  runId: id.nullable(),
  code: z.string().nullable(),
  settings,
  model: z.string(),
  response: z.string(),
  dataHash: z.string(),
  /** For which runs the interval holds: those of the sessions of the data, or of any. */
  scope: predictionResult.shape.scope,
  estimate: z.number(),
  lower: z.number(),
  upper: z.number(),
  chance: z.number().nullable(),
  /** On the model's scale. */
  errors: setErrors,
  session: z.string().nullable(),
  measured: z.number().nullable(),
  inside: z.boolean().nullable(),
  /** Why the interval is not held against the run; null where it is. */
  notJudged: z.enum(['not measured', 'left out', 'another session', 'session not known']).nullable(),
})

export const next = {
  /** Can take a second. A newer one asked by the same page ends this one with the problem `superseded`. */
  'next.recommend': reads(
    fitArgs.extend({
      target: z.number().positive(),
      tolerance: z.number().positive(),
      aims: z.array(z.enum(['reach', 'learn', 'both'])).optional(),
      count: z.number().int().min(1).max(20).optional(),
      seed: z.number().int().optional(),
    }),
    recommendation.extend({ dataHash: z.string() }),
  ),
  /** The chance of a wafer to be in tolerance, in thickness and in the study's evenness, over two factors. */
  'next.chanceMap': reads(
    fitArgs.extend({
      target: z.number().positive(),
      tolerance: z.number().positive(),
      x: z.string(),
      y: z.string(),
      at: settings,
    }),
    contour,
  ),
  /** The recipe for a target in thickness and in the study's evenness. Can take a second, and ends an older one. */
  'next.recipe': reads(
    fitArgs.extend({
      target: z.number().positive(),
      tolerance: z.number().positive(),
      /** The chance that a wafer is to have. */
      asked: z.number().gt(0).lt(1),
    }),
    recipeAnswer.extend({
      /** The film that the recipe is predicted to give, by site, nm; empty where its shape is not known. */
      map: z.array(
        z.object({ site: z.number().int(), xMm: z.number(), yMm: z.number(), valueNm: z.number() }),
      ),
      dataHash: z.string(),
    }),
  ),
  /** Runs to be made together, as many as fit what is left of the slot. Can take some seconds, and ends an older one. */
  'next.batch': reads(
    fitArgs.extend({
      target: z.number().positive(),
      tolerance: z.number().positive(),
      aim: z.enum(['learn', 'reach']),
      count: z.number().int().min(1).max(mostInBatch),
      minutesLeft: z.number().min(0).nullable(),
    }),
    batch.extend({ dataHash: z.string() }),
  ),
  /** Adds the choices to the plan as a stage of its own, in their order, and writes their predictions into the ledger. */
  'next.take': writes(
    fitArgs.extend({ choices: z.array(choice).min(1).max(mostInBatch), dataHash: z.string() }),
    z.object({ runIds: z.array(id), stageId: id }),
  ),
  /**
   * Adds a stage of runs with the recipe's settings, so many wafers on each of so many days, and writes down before they
   * are made what they are held to.
   */
  'next.planConfirmation': writes(
    fitArgs.extend({
      settings,
      target: z.number().positive(),
      tolerance: z.number().positive(),
      days: z.number().int().min(1).max(10),
      wafersADay: z.number().int().min(1).max(4),
      /** Of the data that the recipe was found from. */
      dataHash: z.string(),
    }),
    z.object({ id, stageId: id, runIds: z.array(id) }),
  ),
  /** The confirmations of a study, newest first, with what has come of them. */
  'next.confirmations': reads(
    ofStudy,
    z.array(confirmationRecord.extend({ id, stageId: id, at: z.string(), judgement: confirmationJudgement })),
  ),
  'next.ledger': reads(ofStudy, z.object({ entries: z.array(ledgerEntry), score: ledgerScore })),
}
