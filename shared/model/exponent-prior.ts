import type { Fit } from '../contract/results/fit.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { diagnostics } from './diagnostics.ts'
import { tQuantile } from './distributions.ts'
import { type Paired, paired } from './double-double.ts'
import { columnOf, type Term } from './expression.ts'
import type { AnyFit, FittedModel } from './fit.ts'
import { type Fitted, matrixOf, responseText, weighted } from './fitted.ts'
import { type Formula, formulaText, parseFormula } from './formula.ts'
import { frameOf } from './frame.ts'
import { inverseHalf, leastSquares } from './least-squares.ts'
import { predictAt } from './predict.ts'
import { reportWithoutTests } from './report.ts'
import { sessionProblem } from './session-problem.ts'
import { inner } from './symmetric.ts'
import { columnNamed, type Table } from './table.ts'
import { modelColumns } from './terms.ts'

export type ExponentPriorOptions = {
  table: Table
  /** A spin curve, such as `log(thickness) ~ log(speed)`; it may have other terms, such as lots. */
  model: string
  /** What is believed of b in thickness = K·speed^−b before the runs: mean and standard deviation. */
  prior: { mean: number; sd: number }
  /** Standard deviation of a run on the model's scale known from elsewhere, and its degrees of freedom. */
  scatter?: { sd: number; df: number }
  /** Name of the speed's column; otherwise `speed`, `rpm`, or the one that a logarithm is taken of. */
  speed?: string
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  session?: string
}

/** A spin curve with a stated prior for its exponent; it predicts like a fitted model. */
export type FittedWithPrior = AnyFit &
  Pick<FittedModel, 'fitted'> & {
    /** The apparent exponent b after the runs, and by the runs alone (null where they cannot tell). */
    exponent: {
      mean: number
      sd: number
      lower: number
      upper: number
      byRuns: { mean: number; sd: number } | null
    }
  }

/** The prior and the runs disagree where they differ by more than this many standard deviations. */
const conflict = 2
const fewDf = 3

/**
 * A spin curve from few wafers: a normal prior on the exponent, none on the other terms. The posterior is the
 * least-squares fit with the prior as one more observation (Gelman, Carlin, Stern, Dunson, Vehtari & Rubin, Bayesian
 * Data Analysis, 2013, section 14.8), the scatter taken from what the runs leave, pooled with a known one; intervals
 * use t on its degrees of freedom. Where the prior says little, all this is least squares.
 *
 * @returns problems where the model is no spin curve (`noSpinCurve`) or does not suit the table, where the prior is no
 * mean and positive standard deviation, or where nothing tells the scatter (`noScatter`)
 */
export function fitWithExponentPrior(options: ExponentPriorOptions): Answer<FittedWithPrior> {
  const { table, prior, scatter, level = 0.95 } = options
  const wrong = numberProblems(prior, scatter)
  if (wrong.length > 0) return { ok: false, problems: wrong }
  const formula = parseFormula(options.model)
  if (!formula.ok) return formula
  const curve = spinCurve(formula.value, options.speed)
  if (!curve.ok) return curve
  const frame = frameOf(table, formula.value, curve.value.response, options.weights)
  if (!frame.ok) return frame
  const columns = modelColumns(formula.value.terms, frame.value.levels)
  if (!columns.ok) return columns
  if (frame.value.rows.length === 0)
    return {
      ok: false,
      problems: [{ code: 'noRuns', message: 'There is no run to fit.' }, ...frame.value.problems],
    }
  const [matrix, response] = weighted(frame.value, matrixOf(frame.value, columns.value))
  const slope = columns.value.findIndex(({ term }) => term === curve.value.term)
  const alone = leastSquares(matrix, response)
  const df = alone.df + (scatter?.df ?? 0)
  const known = scatter ? scatter.df * scatter.sd ** 2 : 0
  const variance = (known + alone.residualSumOfSquares) / df
  if (!(df > 0 && variance > 0))
    return refuse(
      'noScatter',
      'These runs leave nothing to tell their scatter by: state it with its degrees of freedom, or add a wafer.',
    )
  const weight = Math.sqrt(variance) / prior.sd
  const solution = leastSquares(
    matrix.map((column, k) => oneMore(column, k === slope ? weight : 0)),
    oneMore(response, -prior.mean * weight),
  )
  const fitted: Fitted = {
    formula: formula.value,
    text: formulaText(formula.value),
    frame: frame.value,
    columns: columns.value,
    solution: { ...solution, df, residualSumOfSquares: df * variance },
    variance,
  }
  const base = { formula: formula.value, text: fitted.text, frame: frame.value, columns: columns.value }
  const byRuns = exponentOf({ ...base, solution: alone, variance }, slope)
  const after = exponentOf(fitted, slope) as { mean: number; sd: number }
  const reach = tQuantile((1 + level) / 2, df) * after.sd
  const exponent = { ...after, lower: after.mean - reach, upper: after.mean + reach, byRuns }
  const problems = [
    ...frame.value.problems,
    ...priorProblems(prior, exponent),
    ...scatterProblems(scatter, alone.df),
    sessionProblem(frame.value, table, options.session),
  ]
  const predictions = (at: Settings[], own: number) => {
    const quantile = tQuantile((1 + own) / 2, df)
    return at.map((settings) => predictAt(fitted, settings, quantile))
  }
  const source = scatter ? ('stated' as const) : ('estimated' as const)
  const predict: FittedModel['predict'] = (at, own = {}) =>
    predictions(at, own.level ?? level).flatMap((answer) =>
      answer.ok ? [{ ...answer.value, varianceSource: source }] : [],
    )
  const cannotPredict = (at: Settings[]) =>
    predictions(at, level).flatMap((answer) => (answer.ok ? [] : answer.problems))
  return good({
    fitted,
    responseName: frame.value.scale.name,
    responseText: responseText(fitted),
    rows: frame.value.rows,
    level,
    df,
    residualStandardDeviation: Math.sqrt(variance),
    problems,
    unitOf: (name) => columnNamed(table, name)?.unit ?? '',
    report: (at = []) => ({
      ...reportOf(fitted, level),
      predictions: predict(at),
      problems: [...problems, ...cannotPredict(at)],
    }),
    predict,
    cannotPredict,
    exponent,
  })
}

function numberProblems(
  prior: ExponentPriorOptions['prior'],
  scatter: ExponentPriorOptions['scatter'],
): Problem[] {
  const problem = (column: string, message: string): Problem => ({ code: 'notANumber', message, column })
  const good = (value: number) => Number.isFinite(value) && value > 0
  return [
    ...(Number.isFinite(prior.mean) && good(prior.sd)
      ? []
      : [
          problem(
            'prior',
            'The prior of the exponent is a mean and a standard deviation above 0, as in 0.5,0.05.',
          ),
        ]),
    ...(!scatter || (good(scatter.sd) && good(scatter.df))
      ? []
      : [
          problem(
            'scatter',
            'The known scatter is a standard deviation and its degrees of freedom, both above 0.',
          ),
        ]),
  ]
}

/** The term that is the logarithm of the speed, in a model of the same logarithm of the response. */
function spinCurve(
  { response, terms }: Formula,
  speed?: string,
): Answer<{ term: number; response: NonNullable<Formula['response']> }> {
  const logOf = (term: Term) => {
    const [part, more] = term
    return part?.kind === 'function' && !more && (part.name === 'log' || part.name === 'log10') ? part : null
  }
  const logs = terms.flatMap((term, index) => {
    const part = logOf(term)
    return part ? [{ index, name: part.name, column: columnOf(part) }] : []
  })
  const wanted = speed === undefined ? ['speed', 'rpm'] : [speed]
  const found =
    logs.find(({ column }) => wanted.includes(column)) ??
    (speed === undefined && logs.length === 1 ? logs[0] : undefined)
  if (found && response?.kind === 'function' && response.name === found.name)
    return good({ term: found.index, response })
  return refuse(
    'noSpinCurve',
    'A prior for the exponent needs a spin curve: the logarithm of the thickness on the logarithm of the speed.',
    { column: 'model' },
  )
}

function oneMore({ hi, lo }: Paired, value: number): Paired {
  const result = paired(hi.length + 1)
  result.hi.set(hi)
  result.lo.set(lo)
  result.hi[hi.length] = value
  return result
}

function exponentOf({ solution, variance }: Fitted, column: number): { mean: number; sd: number } | null {
  const k = solution.factorization.kept.indexOf(column)
  const half = inverseHalf(solution)[k]
  // Where one column is set aside for another, the slope stands for both.
  if (!half || solution.factorization.dropped.length > 0) return null
  return { mean: -solution.estimates.hi[k]!, sd: Math.sqrt((variance ?? 0) * inner(half.hi, half.hi)) }
}

function priorProblems(
  prior: ExponentPriorOptions['prior'],
  { mean, sd, byRuns }: FittedWithPrior['exponent'],
): Problem[] {
  const pair = (one: { mean: number; sd: number }) =>
    `${one.mean.toFixed(3)} ± ${Number(one.sd.toPrecision(2))}`
  const alone = byRuns ? `the runs alone give ${pair(byRuns)}` : 'the runs alone cannot tell it'
  const problems = [
    {
      code: 'exponentPrior',
      message:
        `A stated prior stands in every number of this fit: an exponent of ${prior.mean} ± ${prior.sd}; ${alone}, ` +
        `both together ${pair({ mean, sd })} (± one standard deviation). It is an apparent exponent.`,
    },
  ]
  if (byRuns && Math.abs(byRuns.mean - prior.mean) > conflict * Math.hypot(prior.sd, byRuns.sd))
    problems.push({
      code: 'priorConflict',
      message:
        `The runs (${pair(byRuns)}) and the prior (${prior.mean} ± ${prior.sd}) contradict each other: ` +
        'take a wider prior, or look for a bad run.',
    })
  return problems
}

function scatterProblems(scatter: ExponentPriorOptions['scatter'], df: number): Problem[] {
  if (scatter)
    return [
      {
        code: 'statedScatter',
        message: `The scatter of ${scatter.sd} on ${scatter.df} degrees of freedom is stated; these runs add ${df}.`,
      },
    ]
  if (df >= fewDf) return []
  return [
    {
      code: 'fewDegreesOfFreedom',
      message: `The scatter rests on ${df} degree${df === 1 ? '' : 's'} of freedom and is hardly known: intervals are wide.`,
    },
  ]
}

/** Without tests and likelihoods, which the prior has no part in. Intervals hold with the level's probability. */
function reportOf(fitted: Fitted, level: number): Omit<Fit, 'predictions' | 'problems'> {
  const report = reportWithoutTests(fitted, level)
  return {
    ...report,
    terms: report.terms.map((term) => ({ ...term, t: null, p: null })),
    runs: diagnostics(fitted).runs,
  }
}
