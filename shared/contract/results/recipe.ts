import { z } from 'zod'
import { settings } from '../things.ts'
import { predictionResult, varianceSource } from './fit.ts'
import { runCost } from './next.ts'
import { interval, maybe, number } from './numbers.ts'
import { problem } from './problem.ts'

/** Non-uniformity by the study's formula, percent: half of all films have less, nine of ten lie between the ends. */
export const evenness = z.object({ median: number, lower: number, upper: number, chance: maybe })

/** A setting as a recipe, with what its films are predicted to be. */
export const recipe = z.object({
  settings,
  scope: predictionResult.shape.scope,
  estimate: number,
  confidence: interval,
  prediction: interval,
  /** To be in tolerance in thickness, in evenness (null where there is no limit or no shape), and in both. */
  chance: z.object({ thickness: number, evenness: maybe, both: number }),
  evenness: evenness.nullable(),
  varianceSource,
  extrapolates: z.string().nullable(),
  cost: runCost,
  reason: z.string(),
})
export type Recipe = z.infer<typeof recipe>

export const recipeAnswer = z.object({
  /** The chance that was asked for. */
  asked: number,
  /** Whether the recipe has it. */
  met: z.boolean(),
  recipe,
  /** How many of the settings looked at have the asked chance, and of how many. */
  settings: z.object({ meet: number, of: number }),
  /**
   * How far each factor alone may move before the asked chance is lost; null: to the end of the region, whose ends are
   * given; beyond them nothing is known. Empty where the asked chance is not met.
   */
  moves: z.array(
    z.object({
      factor: z.string(),
      unit: z.string(),
      at: number,
      lower: maybe,
      upper: maybe,
      region: z.tuple([number, number]),
    }),
  ),
  /**
   * Factors of which one step of the tool, either way, loses the asked chance or leaves the region; empty where every
   * step is borne, and where the asked chance is not met.
   */
  edge: z.array(z.string()),
  problems: z.array(problem),
})
export type RecipeAnswer = z.infer<typeof recipeAnswer>
