import { type Answer, good, refuse } from '../problem.ts'
import { chiSquareQuantile } from './distributions.ts'
import { dot, type Paired } from './double-double.ts'
import { columnOf } from './expression.ts'
import { type Factorization, factorize, reflect } from './factorize.ts'
import { fitFormula, matrixOf, weighted } from './fitted.ts'
import { type Formula, parseFormula } from './formula.ts'
import type { Table } from './table.ts'

/** The power of the response under which the model fits best. */
export type BoxCox = {
  lambda: number
  logLikelihood: number
  /** Powers whose log-likelihood lies within χ²₁/2 of the best; null where the end lies beyond ±5. */
  lower: number | null
  upper: number | null
  profile: { lambda: number; logLikelihood: number }[]
}

const [lowest, highest, step] = [-5, 5, 0.1]

/**
 * Profile of the log-likelihood over the power λ of the response, 0 standing for the logarithm: −(n/2)·ln(RSS/n) of
 * (y^λ − 1) / (λ·g^(λ−1)), g the geometric mean (Box & Cox, Journal of the Royal Statistical Society B 26, 1964).
 *
 * @param options.model a formula; whatever function it takes of its response, the response is taken as measured
 * @param options.level of the interval; 0.95 unless given
 * @returns problems where the model cannot be fitted or its response is not positive
 */
export function boxCox(options: {
  table: Table
  model: string
  weights?: string
  level?: number
}): Answer<BoxCox> {
  const { table, model, weights } = options
  const parsed = parseFormula(model)
  if (!parsed.ok) return parsed
  const { response, terms } = parsed.value
  const bare: Formula = { response: response && { kind: 'column', name: columnOf(response) }, terms }
  const fitted = fitFormula({ table, formula: bare, ...(weights === undefined ? {} : { weights }) })
  if (!fitted.ok) return fitted
  const { frame, columns, solution } = fitted.value
  if (frame.response.some((y) => y <= 0))
    return refuse('outsideDomain', `A power of ${frame.scale.name} needs positive values throughout.`, {
      column: frame.scale.name,
    })
  if (solution.df === 0)
    return refuse('noDegreesOfFreedom', 'There are as many terms as runs: every power fits exactly.')
  const [matrix] = weighted(frame, matrixOf(frame, columns))
  const factorization = factorize(matrix, frame.rows.length)
  const logs = frame.response.map(Math.log)
  const roots = (frame.weights ?? logs.map(() => 1)).map(Math.sqrt)
  const likelihood = (lambda: number) => profileAt(factorization, logs, roots, lambda)
  const profile = Array.from({ length: Math.round((highest - lowest) / step) + 1 }, (_, i) => {
    const lambda = Number((lowest + i * step).toFixed(10))
    return { lambda, logLikelihood: likelihood(lambda) }
  })
  const best = profile.reduce((top, point) => (point.logLikelihood > top.logLikelihood ? point : top))
  const lambda = peakBetween(likelihood, best.lambda - step, best.lambda + step)
  const logLikelihood = likelihood(lambda)
  const drop = chiSquareQuantile(options.level ?? 0.95, 1) / 2
  const above = (power: number) => likelihood(power) - (logLikelihood - drop)
  return good({
    lambda,
    logLikelihood,
    lower: above(lowest) < 0 ? zeroBetween(above, lowest, lambda) : null,
    upper: above(highest) < 0 ? zeroBetween(above, highest, lambda) : null,
    profile,
  })
}

function profileAt(
  factorization: Factorization,
  logs: Float64Array,
  roots: Float64Array,
  lambda: number,
): number {
  const n = logs.length
  const meanLog = logs.reduce((sum, value) => sum + value, 0) / n
  // (y^λ − 1)/(λ g^(λ−1)) = g·(u^λ − g^−λ)/λ with u = y/g: all but a constant, which keeps its digits near λ = 0.
  const z: Paired = {
    hi: logs.map((value, i) => {
      const u = value - meanLog
      return (roots[i] as number) * Math.exp(meanLog) * (lambda === 0 ? u : Math.expm1(lambda * u) / lambda)
    }),
    lo: new Float64Array(n),
  }
  reflect(factorization, z)
  return (-n / 2) * Math.log(dot(z, z, factorization.kept.length, n).hi / n)
}

/** Maximum of a function with one peak between two points, to 7 digits, by golden section. */
function peakBetween(f: (x: number) => number, from: number, to: number): number {
  const golden = (Math.sqrt(5) - 1) / 2
  let [a, b] = [from, to]
  while (b - a > 1e-8) {
    const [left, right] = [b - golden * (b - a), a + golden * (b - a)]
    if (f(left) > f(right)) b = right
    else a = left
  }
  return (a + b) / 2
}

/** Where a function that is negative at `outside` and positive at `inside` is zero, by bisection. */
function zeroBetween(f: (x: number) => number, outside: number, inside: number): number {
  let [below, above] = [outside, inside]
  for (let i = 0; i < 60; i++) {
    const middle = (below + above) / 2
    if (f(middle) < 0) below = middle
    else above = middle
  }
  return (below + above) / 2
}
