import { z } from 'zod'
import {
  budget,
  choice,
  comparison,
  designEvaluation,
  filmSummary,
  fit,
  modelComparison,
  plan,
  programCheck,
} from '../../shared/contract/results.ts'

/** The documents of `--json`: the shapes of the contract without what is for the page alone. */
export const shapes = {
  plan: plan.omit({ orderInWords: true, designInWords: true }).extend({
    evaluation: designEvaluation.omit({ residualDf: true, pureErrorDf: true }),
    budget: budget.omit({ plateMinutes: true }),
  }),
  check: programCheck,
  film: z.object({ substrates: z.array(filmSummary) }),
  fit,
  modelComparison,
  next: z.object({ choices: z.array(choice.omit({ aim: true })) }),
  compare: comparison.omit({ reference: true }),
  trace: z.object({
    step: z.number(),
    standardUncertainty: z.number(),
    slope: z.number(),
    residualStandardDeviation: z.number(),
    width: z.number(),
    regions: z.object({
      left: z.tuple([z.number(), z.number()]),
      middle: z.tuple([z.number(), z.number()]),
      right: z.tuple([z.number(), z.number()]),
    }),
  }),
}
