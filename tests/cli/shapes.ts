import { z } from 'zod'
import { programCheck } from '../../shared/contract/results/check.ts'
import { comparison } from '../../shared/contract/results/compare.ts'
import { driftSeries } from '../../shared/contract/results/drift.ts'
import { filmSummary } from '../../shared/contract/results/film.ts'
import { fit, modelComparison } from '../../shared/contract/results/fit.ts'
import { checkLogResult, gaugeBias, gaugeResult } from '../../shared/contract/results/gauge.ts'
import { choice } from '../../shared/contract/results/next.ts'
import { budget, designEvaluation, plan } from '../../shared/contract/results/plan.ts'
import { rehearsal } from '../../shared/contract/results/rehearsal.ts'
import { meanStep, stepHeight } from '../../shared/contract/results/trace.ts'

/** The documents of `--json`: the shapes of the contract without what is for the page alone. */
export const shapes = {
  plan: plan.omit({ orderInWords: true, designInWords: true }).extend({
    evaluation: designEvaluation.omit({ residualDf: true, pureErrorDf: true }),
    budget: budget.omit({ plateMinutes: true, firstHeatMinutes: true }),
    rehearsal: rehearsal.optional(),
  }),
  check: programCheck,
  film: z.object({ substrates: z.array(filmSummary) }),
  gauge: z.object({
    gauges: z.array(gaugeResult.extend({ gauge: z.string() })),
    bias: gaugeBias.nullable(),
  }),
  checkLog: checkLogResult,
  fit,
  modelComparison,
  next: z.object({ choices: z.array(choice.omit({ aim: true })) }),
  compare: comparison,
  drift: driftSeries,
  trace: stepHeight,
  traces: z.object({ mean: meanStep, scans: z.array(stepHeight.extend({ file: z.string() })) }),
}
