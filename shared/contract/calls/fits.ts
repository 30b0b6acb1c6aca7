import { z } from 'zod'
import { fit, predictionResult } from '../results.ts'
import { setting, settings } from '../things.ts'
import { id, ofStudy, reads } from './call.ts'

export const fitTable = z.object({
  columns: z.array(z.object({ name: z.string(), unit: z.string(), categorical: z.boolean() })),
  rows: z.array(
    z.object({
      runId: id,
      code: z.string(),
      values: z.record(z.string(), setting.nullable()),
      /** Reason, where the run is left out of the fit. */
      excluded: z.string().nullable(),
    }),
  ),
})

export const curve = z.object({
  factor: z.string(),
  unit: z.string(),
  points: z.array(
    z.object({
      x: z.number(),
      estimate: z.number(),
      confidence: z.tuple([z.number(), z.number()]),
      prediction: z.tuple([z.number(), z.number()]),
    }),
  ),
})

export const contour = z.object({
  x: z.object({ name: z.string(), unit: z.string(), low: z.number(), high: z.number() }),
  y: z.object({ name: z.string(), unit: z.string(), low: z.number(), high: z.number() }),
  columns: z.number().int(),
  rows: z.number().int(),
  /** Row by row from low y, `columns` values a row, estimate in the response's unit. */
  values: z.array(z.number()),
})

export const fitArgs = z.object({
  studyId: id,
  /** The response: `thickness` or the name of another quantity. */
  response: z.string(),
  /** The whole formula, such as log(thickness) ~ log(speed) + bake. */
  model: z.string().max(2000),
  level: z.number().gt(0).lt(1).optional(),
})

export const modelSuggestion = z.object({
  model: z.string(),
  /** When to choose it, in a plain sentence. */
  words: z.string(),
  terms: z.number().int(),
})

export const fits = {
  'fits.models': reads(
    z.object({ studyId: id, response: z.string() }),
    z.object({ responses: z.array(z.string()), suggestions: z.array(modelSuggestion) }),
  ),
  'fits.table': reads(ofStudy, fitTable),
  'fits.fit': reads(fitArgs, z.object({ fit, dataHash: z.string(), runIds: z.array(id) })),
  /** The fitted curve over one factor at the working point of the others. */
  'fits.curve': reads(fitArgs.extend({ factor: z.string(), at: settings }), curve),
  'fits.contour': reads(fitArgs.extend({ x: z.string(), y: z.string(), at: settings }), contour),
  'fits.predict': reads(fitArgs.extend({ at: z.array(settings).max(1000) }), z.array(predictionResult)),
}
