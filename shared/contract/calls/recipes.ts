import { z } from 'zod'
import { processEventKinds } from '../choices.ts'
import { processEvent } from '../materials.ts'
import { keptRecipe, recipeDecision } from '../recipes.ts'
import { driftChoice, driftSeries } from '../results/drift.ts'
import { interval, maybe, number } from '../results/numbers.ts'
import { problem } from '../results/problem.ts'
import { settings } from '../things.ts'
import { done, id, ofStudy, reads, writes } from './call.ts'
import { fitArgs } from './fits.ts'

const ofRecipe = z.object({ recipeId: id })

/** What the monitor runs of a recipe say; a reading is the mean of the wafers of one session. */
export const recipeDrift = z.object({
  readings: z.array(
    z.object({
      session: z.string(),
      /** YYYY-MM-DD, empty while unknown. */
      day: z.string(),
      runs: z.array(z.string()),
      thicknessNm: number,
      /** Standard deviation over the sites of a wafer, as a share of its mean; null where it is not known. */
      spread: maybe,
      /** Of the bottle, up to this reading; null where nobody noted them. */
      openings: z.number().int().nullable(),
    }),
  ),
  /** Monitor runs that are planned or not yet wholly read. */
  waiting: z.array(z.object({ runId: id, code: z.string() })),
  events: z.array(processEvent.extend({ before: z.number().int() })),
  choice: driftChoice,
  thickness: driftSeries,
  /** Null where some reading has no spread. */
  spread: driftSeries.nullable(),
  /** Where the films are now, as a share of the target, and the speed that brings them back to it. */
  now: z.object({ shift: number, interval, words: z.string() }).nullable(),
  retuned: z.object({ speed: number, interval, words: z.string() }).nullable(),
  problems: z.array(problem),
})
export type RecipeDrift = z.infer<typeof recipeDrift>

export const recipes = {
  'recipes.list': reads(ofStudy, z.array(keptRecipe)),
  /** Keeps the settings as a recipe with what the fit over days says of them; or as the next version of another. */
  'recipes.keep': writes(
    fitArgs.extend({
      settings,
      target: z.number().positive(),
      tolerance: z.number().positive(),
      chance: z.number().min(0).max(1).nullable(),
      dataHash: z.string(),
      decision: recipeDecision,
      supersedes: id.optional(),
    }),
    ofRecipe.extend({ version: z.number().int() }),
  ),
  /** Adds a run by the recipe to the plan of its study, which watches it and is no part of the fits. */
  'recipes.monitor': writes(
    ofRecipe.extend({ session: z.string().trim().min(1).max(200).optional() }),
    z.object({ runId: id, code: z.string(), session: z.string() }),
  ),
  /** By the choice that is kept for the recipe. */
  'drift.watch': reads(ofRecipe, recipeDrift),
  'drift.choose': writes(ofRecipe.extend({ choice: driftChoice }), done),
  'drift.csv': reads(ofRecipe, z.object({ fileName: z.string(), text: z.string() })),
  'drift.note': writes(
    ofStudy.extend({
      kind: z.enum(processEventKinds),
      at: z.iso.datetime().optional(),
      text: z.string().trim().max(2000).optional(),
    }),
    done,
  ),
}
