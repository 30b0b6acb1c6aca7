import { z } from 'zod'
import { doubts } from '../results/doubts.ts'
import { fit, modelComparison, predictionResult, targetSetting, transformation } from '../results/fit.ts'
import { scatter } from '../results/scatter.ts'
import { setting, settings } from '../things.ts'
import { id, ofStudy, reads } from './call.ts'

export const fitTable = z.object({
  columns: z.array(z.object({ name: z.string(), unit: z.string(), categorical: z.boolean() })),
  rows: z.array(
    z.object({
      runId: id,
      code: z.string(),
      /** A monitor run watches its recipe and is drawn with it alone. */
      monitor: z.boolean(),
      values: z.record(z.string(), setting.nullable()),
      /** Reason, where the run is left out of the fit. */
      excluded: z.string().nullable(),
    }),
  ),
})

export const curve = z.object({
  factor: z.string(),
  unit: z.string(),
  /** For which runs the bands hold: with the variance of sessions estimated, for those of another session. */
  scope: predictionResult.shape.scope,
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

const knownDeviations = z.record(
  z.string(),
  z.object({ standardDeviation: z.number().min(0), df: z.number().positive().optional() }),
)

/** The same, fitted otherwise than by plain least squares: one of the three at most. */
export const fitOfKindArgs = fitArgs.extend({
  /**
   * With the variances between sessions and visits to the plate, by the runs, earlier studies or what is usual: the
   * fit by which the next run is chosen.
   */
  overDays: z.boolean().optional(),
  /** Nested groups whose variances are estimated too, such as session/plateVisit. */
  random: z.string().max(500).optional(),
  /**
   * Standard deviations known for groups of `random`, on the scale of the model's response: without df taken as they
   * are. Those of earlier studies are used only where these runs leave under 3 degrees of freedom or an estimate of 0.
   */
  stated: knownDeviations.optional(),
  earlier: knownDeviations.optional(),
  /** A fit that a few bad runs do not carry away. */
  robust: z.enum(['huber', 'bisquare']).optional(),
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
    z.object({
      responses: z.array(z.string()),
      suggestions: z.array(modelSuggestion),
      /** Groups whose variance the runs can tell, to give as `random`; empty where there are none. */
      groupings: z.array(z.object({ random: z.string(), words: z.string() })),
    }),
  ),
  'fits.table': reads(ofStudy, fitTable),
  /** Where the scatter of thickness comes from: sessions, plate visits, wafers, sites, repeats. */
  /** Without a model, after that of the study. */
  'fits.scatter': reads(ofStudy.extend({ model: z.string().optional() }), scatter),
  'fits.fit': reads(fitOfKindArgs, z.object({ fit, dataHash: z.string(), runIds: z.array(id) })),
  /** The fitted curve over one factor at the working point of the others. */
  'fits.curve': reads(fitOfKindArgs.extend({ factor: z.string(), at: settings }), curve),
  'fits.contour': reads(fitOfKindArgs.extend({ x: z.string(), y: z.string(), at: settings }), contour),
  'fits.predict': reads(fitOfKindArgs.extend({ at: z.array(settings).max(1000) }), z.array(predictionResult)),
  /** The setting of one factor at which the fit reaches a target, in the response's unit, the others at `at`. */
  'fits.target': reads(
    fitOfKindArgs.extend({ factor: z.string(), target: z.number(), at: settings }),
    targetSetting,
  ),
  /** Which transformation of the response the readings support under the terms of the model. */
  'fits.transformation': reads(fitArgs, transformation),
  /** What there is to doubt in the fit by least squares: runs, drift, visits, recorded causes, the model's form. */
  'fits.doubts': reads(fitArgs, doubts),
  /** Models side by side; whole plate visits are left out at a time where the runs are grouped in such. */
  'fits.compareModels': reads(
    fitArgs
      .omit({ model: true, level: true })
      .extend({ models: z.array(z.string().max(2000)).min(1).max(20) }),
    modelComparison,
  ),
}
