import { type Answer, good, type Problem } from '../problem.ts'
import { seeded } from '../random.ts'
import type { EquationCurve } from './equation-curve.ts'
import { type Ended, levenbergMarquardt } from './levenberg-marquardt.ts'

/** Other starts, each value times a factor between 1/30 and 30. */
const otherStarts = 12
const widest = Math.log(30)
const otherLimit = 200
/** A sum of squares must be lower by this share to count as another minimum. */
const clearlyLower = 1e-6

/**
 * Searches from the start values, and from others around them (always the same ones), for the lowest sum of squares.
 *
 * @returns where the search ended, with a problem `betterStart` where another start led lower; refused with
 * `outsideDomain` or `didNotConverge`
 */
export function bestFit(
  curve: EquationCurve,
  start: number[],
): Answer<{ ended: Ended; problems: Problem[] }> {
  const first = levenbergMarquardt(curve.evaluate, start)
  const random = seeded(1)
  const others = Array.from({ length: otherStarts }, () =>
    levenbergMarquardt(
      curve.evaluate,
      start.map((value) =>
        value === 0 ? random.normal() : value * Math.exp(widest * (2 * random.uniform() - 1)),
      ),
      otherLimit,
    ),
  )
  const found = [first, ...others].filter((ended): ended is Ended => ended?.reason === 'converged')
  const [best] = found.sort((a, b) => a.sumOfSquares - b.sumOfSquares)
  if (!best) return { ok: false, problems: [failure(first, curve)] }
  if (first?.reason === 'converged' && first.sumOfSquares <= best.sumOfSquares * (1 + clearlyLower))
    return good({ ended: first, problems: [] })
  const message =
    first?.reason === 'converged'
      ? 'From other start values a lower sum of squares was found than from the given ones.'
      : 'The search converged only from other start values than the given ones.'
  return good({ ended: best, problems: [{ code: 'betterStart', message }] })
}

const reasons: Record<Ended['reason'], string> = {
  converged: '',
  stalled: 'no step lowers the sum of squares, though it is no minimum',
  singular: 'the runs leave at least one parameter open, or two do the same',
  iterationLimit: 'too many steps were needed',
}

function failure(first: Ended | null, { parameters }: EquationCurve): Problem {
  if (first === null)
    return { code: 'outsideDomain', message: 'The equation has no value at the start values for every run.' }
  const reached = parameters.map((name, j) => `${name} = ${first.parameters[j]?.toPrecision(4)}`).join(', ')
  return {
    code: 'didNotConverge',
    message: `The search did not converge: ${reasons[first.reason]}. It ended at ${reached}. Try other start values.`,
  }
}
