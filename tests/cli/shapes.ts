import { z } from 'zod'
import { rehearsal } from '../../shared/contract/rehearsal.ts'
import {
  budget,
  choice,
  comparison,
  designEvaluation,
  filmSummary,
  fit,
  meanStep,
  modelComparison,
  plan,
  programCheck,
  stepHeight,
} from '../../shared/contract/results.ts'

/** The documents of `--json`: the shapes of the contract without what is for the page alone. */
export const shapes = {
  plan: plan.omit({ orderInWords: true, designInWords: true }).extend({
    evaluation: designEvaluation.omit({ residualDf: true, pureErrorDf: true }),
    budget: budget.omit({ plateMinutes: true }),
    rehearsal: rehearsal.optional(),
  }),
  check: programCheck,
  film: z.object({ substrates: z.array(filmSummary) }),
  fit,
  modelComparison,
  next: z.object({ choices: z.array(choice.omit({ aim: true })) }),
  compare: comparison.omit({ reference: true }),
  trace: stepHeight,
  traces: z.object({ mean: meanStep, scans: z.array(stepHeight.extend({ file: z.string() })) }),
}
