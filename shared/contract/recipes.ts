import { z } from 'zod'
import { interval, maybe, number } from './results/numbers.ts'
import { nonUniformityFormula, readingStage, segment, settings } from './things.ts'

const id = z.uuid()
const said = z.string().trim().min(1).max(2000)

/** A film thickness, nm: its estimate, and the interval for one wafer on another day. */
export const predictedFilm = z.object({ estimate: number, prediction: interval })

/** By how much ln thickness falls as ln speed rises, at the recipe: the apparent exponent with its error. */
export const speedExponent = z.object({ value: number, standardError: number, df: number })
export type SpeedExponent = z.infer<typeof speedExponent>

/** What a person says in keeping a recipe: its name, who decides, and why. */
export const recipeDecision = z.object({
  name: z.string().trim().min(1).max(200),
  decidedBy: z.string().trim().min(1).max(200),
  reason: said,
  note: z.string().trim().max(5000),
})
export type RecipeDecision = z.infer<typeof recipeDecision>

/**
 * A recipe as it was decided on. It is never edited: another decision is a next version, which supersedes it. Lengths
 * in nm, times in s, temperatures in °C; names of tools are as they were, empty where none was chosen.
 */
export const keptRecipe = recipeDecision.extend({
  id,
  studyId: id,
  version: z.number().int().min(1),
  supersedes: id.nullable(),
  supersededBy: id.nullable(),
  resist: z.string(),
  lot: z.string().nullable(),
  coater: z.string(),
  hotPlate: z.string(),
  gauge: z.string(),
  settings,
  program: z.array(segment),
  bakeDisplay: number,
  /** By the plate's offset; null where no plate was chosen. */
  bakeSurface: maybe,
  bakeTime: number,
  targetNm: number,
  toleranceNm: number,
  targetAfter: readingStage,
  /** Percent, by `uniformityFormula`. */
  uniformityLimit: maybe,
  uniformityFormula: nonUniformityFormula,
  film: predictedFilm.extend({ chance: maybe }),
  /** Thickness by speed at the recipe's other settings; empty where the model holds no speed. */
  speeds: z.array(predictedFilm.extend({ speed: number })),
  exponent: speedExponent.nullable(),
  model: z.string(),
  dataHash: z.string(),
  /** How many runs were fitted. */
  runs: z.number().int(),
  decidedAt: z.string(),
})
export type KeptRecipe = z.infer<typeof keptRecipe>
