import type { GaugeResult } from '../contract/results/gauge.ts'
import type { Problem } from '../problem.ts'

/** What is asked about the numbers of a study; while it stands the result is not to be built on. */
export const openQuestions = ({ problems }: Pick<GaugeResult, 'problems'>): Problem[] =>
  problems.filter(({ code }) => code === 'oddReading' || code === 'oddLoading')
