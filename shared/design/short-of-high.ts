import type { Factor } from '../contract/things.ts'
import type { Problem } from '../problem.ts'
import { roundToStep } from './code.ts'

/** Factors whose highest setting lies below the high that was asked for, since their step does not reach it. */
export function shortOfHigh(factors: readonly Factor[]): Problem[] {
  return factors.flatMap((factor): Problem[] => {
    if (factor.kind !== 'continuous' || factor.low === null || factor.high === null) return []
    const highest = roundToStep(factor, factor.high)
    if (highest >= factor.high) return []
    return [
      {
        code: 'shortOfHigh',
        message: `${factor.name}: ${factor.high} is no whole number of steps of ${factor.step} from ${factor.low}. The highest setting is ${highest}.`,
        column: factor.name,
      },
    ]
  })
}
