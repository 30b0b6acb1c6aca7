import { seeded } from '../../random.ts'
import { type Fitted, fitFormula } from '../fitted.ts'
import { leftOver, orthonormal } from '../orthonormal.ts'
import { reportOf } from '../report.ts'
import type { Table } from '../table.ts'

/** Where and when the runs of a fit were made, by place in the fit. */
export type RunOrder = { order: readonly number[]; session: readonly string[] }

/** How the response moves from run to run within a session, on the model's scale, beside all that the model explains. */
export type OrderSlope = { perRun: number; lower: number; upper: number; p: number; fitted: Fitted }

const orderColumn = 'run order in its session'

/**
 * Whether what the model leaves over slopes along run order within sessions: Student's t of the run's place from its
 * session's middle, added to the model. Null where the runs do not tell.
 */
export function orderSlope(fitted: Fitted, table: Table, runs: RunOrder, level = 0.95): OrderSlope | null {
  const middle = meansBySession(runs)
  const values: (number | null)[] = Array.from({ length: table.rows }, () => null)
  fitted.frame.rows.forEach((row, i) => {
    values[row] = (runs.order[i] as number) - (middle.get(runs.session[i] as string) as number)
  })
  const wider = fitFormula({
    table: { ...table, columns: [...table.columns, { name: orderColumn, values }] },
    formula: {
      ...fitted.formula,
      terms: [...fitted.formula.terms, [{ kind: 'column', name: orderColumn }]],
    },
  })
  if (!wider.ok || wider.value.solution.df < 1) return null
  const term = reportOf(wider.value, level).terms.find(({ term }) => term.includes(orderColumn))
  if (!term || term.p === null || term.lower === null || term.upper === null) return null
  return { perRun: term.estimate, lower: term.lower, upper: term.upper, p: term.p, fitted: wider.value }
}

/** Studies simulated for the chance. */
const simulated = 999

/**
 * Whether runs next to each other in a session are left over alike: the sum of squared differences of neighbours over
 * that of squares (Durbin & Watson, Biometrika 37, 1950), whose chance of being so small is simulated (seeded) with
 * normal scatter under the same model, which makes it exact for any design. Null where no session has two runs.
 */
export function neighboursAlike(fitted: Fitted, runs: RunOrder): { statistic: number; p: number } | null {
  if (fitted.solution.df < 2 || fitted.variance === null || fitted.variance === 0 || fitted.frame.weights)
    return null
  const pairs = neighbours(runs)
  if (pairs.length < 2) return null
  const basis = orthonormal(fitted)
  const of = (left: Float64Array) => {
    const between = pairs.reduce((sum, [a, b]) => sum + (left[a]! - left[b]!) ** 2, 0)
    return between / left.reduce((sum, value) => sum + value * value, 0)
  }
  const statistic = of(fitted.solution.residuals)
  const random = seeded(1)
  let smaller = 0
  for (let k = 0; k < simulated; k++) {
    const noise = Float64Array.from({ length: basis.rows }, () => random.normal())
    if (of(leftOver(basis, noise)) <= statistic) smaller++
  }
  return { statistic, p: (smaller + 1) / (simulated + 1) }
}

/** Places of runs that follow each other within a session. */
function neighbours({ order, session }: RunOrder): [number, number][] {
  const sorted = order
    .map((_, i) => i)
    .sort((a, b) => session[a]!.localeCompare(session[b]!) || order[a]! - order[b]!)
  return sorted.flatMap((at, i): [number, number][] => {
    const next = sorted[i + 1]
    return next !== undefined && session[next] === session[at] ? [[at, next]] : []
  })
}

function meansBySession({ order, session }: RunOrder): Map<string, number> {
  const sums = new Map<string, { sum: number; count: number }>()
  order.forEach((at, i) => {
    const own = sums.get(session[i] as string) ?? { sum: 0, count: 0 }
    sums.set(session[i] as string, { sum: own.sum + at, count: own.count + 1 })
  })
  return new Map([...sums].map(([name, { sum, count }]) => [name, sum / count]))
}
