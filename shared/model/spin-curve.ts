import { smallest } from '../extremes.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { parseEquation } from './arithmetic.ts'
import {
  type EquationCurve,
  type EquationPart,
  fewRuns,
  type Law,
  overRuns,
  pointOn,
} from './equation-curve.ts'
import { type FittedEquation, fittedEquation } from './equation-report.ts'
import { lowest, roundingOf, searchFailure } from './equation-search.ts'
import { quoted, type Term } from './expression.ts'
import { type Frame, frameOf, spreadsheetRow } from './frame.ts'
import { leastSum } from './least-sum.ts'
import { type Bounds, placeAt } from './levenberg-marquardt.ts'
import { columnNamed, type Table } from './table.ts'

/** `power`: thickness = K·speed^−b. `offset`: thickness = K·speed^−b + offset. */
export type SpinCurveKind = 'power' | 'offset'

/** Which spin curve to fit to what. */
export type SpinCurveOptions = {
  table: Table
  kind: SpinCurveKind
  /** Name of the column that tells lots apart, each with a curve of its own; one curve unless given. */
  by?: string
  /** Names of the columns; `speed` or `rpm`, and `thickness`, unless given. */
  speed?: string
  thickness?: string
  /** Name of a column of weights, 1/variance. */
  weights?: string
  /** Of intervals; 0.95 unless given. */
  level?: number
  /** Name of the column that tells sessions apart; `session` unless given. */
  session?: string
}

const exponent = 'apparent exponent'

/**
 * Fits spin curves by non-linear least squares on the plain scale, one a lot, with one residual variance for all. With
 * an offset b is only an apparent exponent: the two can stand for each other, and their profile intervals tell how far.
 * Parameters are named `K`, `apparent exponent` and `offset`, by lot `K[A]`. The searches start from straight lines of
 * log(thickness − offset) on log(speed).
 *
 * @returns problems where a column is missing or holds what has no logarithm, where a lot has fewer runs or speeds than
 * parameters, or where its search does not converge
 */
export function fitSpinCurve(options: SpinCurveOptions): Answer<FittedEquation> {
  const { kind, by, level = 0.95 } = options
  const table = by === undefined ? options.table : withNames(options.table, by)
  const speed = options.speed ?? ['speed', 'rpm'].find((name) => columnNamed(table, name)) ?? 'speed'
  const thickness = options.thickness ?? 'thickness'
  const own = ['K', exponent, ...(kind === 'offset' ? ['offset'] : [])]
  const twice = [speed, by].find((name) => name !== undefined && own.includes(name))
  if (twice !== undefined)
    return refuse('twiceNamed', `‘${twice}’ is a parameter of the curve: name the column otherwise.`, {
      column: twice,
    })
  const response = { kind: 'column', name: thickness } as const
  const terms: Term[] = [[{ kind: 'function', name: 'log', of: { kind: 'column', name: speed } }]]
  if (by !== undefined) terms.push([{ kind: 'column', name: by }])
  const framed = frameOf(table, { response, terms }, response, options.weights)
  if (!framed.ok) return framed
  const frame = framed.value
  const unusable = unusableCells(frame, speed)
  if (unusable.length > 0) return { ok: false, problems: unusable }
  const equation = parseEquation(
    `y = K*${quoted(speed)}^(-"${exponent}")${kind === 'offset' ? ' + offset' : ''}`,
  )
  if (!equation.ok) return equation
  const law: Law = { expression: equation.value.right, columns: [speed], parameters: own }
  const lots = by === undefined ? [null] : (frame.levels[by] ?? [])
  const runs = lots.map((lot) => runsOf(frame, by, lot))
  const few = runs.flatMap((places, l) => {
    const problem =
      fewRuns({ ...frame, rows: places }, own.length) ?? fewSpeeds(frame, places, speed, own.length)
    return problem ? [inLot(problem, by, lots[l])] : []
  })
  if (few.length > 0) return { ok: false, problems: few }

  const curve = curveByLot({ frame, response, law, by, lots, runs })
  const bounds = unbounded(curve.parameters.length)
  const search = { bounds, exact: roundingOf(curve) }
  const partSearch = { ...search, bounds: unbounded(own.length) }
  const parameters: number[] = []
  for (const [l, part] of curve.parts.entries()) {
    const places = runs[l] ?? []
    const { first, best } = lowest(part, startsOf(frame, places, speed, kind), partSearch, places.length)
    if (best === null) return { ok: false, problems: [inLot(searchFailure(first, own), by, lots[l])] }
    parameters.push(...best.parameters)
  }
  const evaluation = curve.evaluate(parameters)
  if (evaluation === null) throw new Error('A curve has no value where its search ended.')
  const place = { ...placeAt(parameters, evaluation, bounds), reason: 'converged' as const }
  const ended = leastSum(curve.evaluate, place, bounds)
  return good(fittedEquation({ curve, ended, search, table, level, session: options.session, problems: [] }))
}

/** Runs repeated at too few speeds leave a parameter open. */
function fewSpeeds(frame: Frame, runs: readonly number[], speed: string, parameters: number): Problem | null {
  const values = frame.columns.find(({ name }) => name === speed)?.values ?? []
  const speeds = new Set(runs.map((row) => values[row])).size
  if (speeds >= parameters) return null
  return {
    code: 'fewSpeeds',
    message: `The curve has ${parameters} parameters, the runs only ${speeds} different ${speeds === 1 ? 'speed' : 'speeds'}.`,
    column: speed,
  }
}

function unbounded(parameters: number): Bounds {
  const ends = (value: number) => Array.from({ length: parameters }, () => value)
  return { lower: ends(Number.NEGATIVE_INFINITY), upper: ends(Number.POSITIVE_INFINITY) }
}

/** The table with the column as names, be they numbers. */
function withNames(table: Table, by: string): Table {
  const columns = table.columns.map((column) =>
    column.name === by
      ? { ...column, values: column.values.map((value) => (value === null ? null : String(value))) }
      : column,
  )
  return { ...table, columns }
}

function unusableCells(frame: Frame, speed: string): Problem[] {
  if (Object.hasOwn(frame.levels, speed))
    return [
      { code: 'notANumber', message: `${speed} holds texts: a spin curve needs numbers.`, column: speed },
    ]
  const { name } = frame.scale
  return frame.rows.flatMap((row, i) => {
    const value = frame.response[i] as number
    if (value > 0 && Number.isFinite(value)) return []
    const shown = spreadsheetRow(row)
    const message = `Row ${shown}, ${name}: a thickness of ${value} has no place on a spin curve.`
    return [{ code: 'outsideDomain', message, row: shown, column: name }]
  })
}

function inLot(problem: Problem, by: string | undefined, lot: string | null | undefined): Problem {
  return by === undefined ? problem : { ...problem, message: `${by} ${lot}: ${problem.message}`, column: by }
}

/** Places among the used rows that belong to the lot; all where lots are not told apart. */
function runsOf(frame: Frame, by: string | undefined, lot: string | null): number[] {
  const values = frame.columns.find(({ name }) => name === by)?.values
  return frame.rows.flatMap((row, i) => (values === undefined || values[row] === lot ? [i] : []))
}

/** One law for every lot, with parameters and runs of its own. */
function curveByLot(options: {
  frame: Frame
  response: EquationCurve['response']
  law: Law
  by: string | undefined
  lots: (string | null)[]
  runs: number[][]
}): EquationCurve {
  const { frame, response, law, by, lots, runs } = options
  const own = law.parameters.length
  const parameters = lots.flatMap((lot) =>
    law.parameters.map((name) => (lot === null ? name : `${name}[${lot}]`)),
  )
  const parts = runs.map(
    (places, l): EquationPart => ({
      which: law.parameters.map((_, k) => l * own + k),
      evaluate: overRuns(law, frame, places),
    }),
  )
  return {
    frame,
    response,
    parameters,
    parts,
    at(settings, values) {
      const lot = by === undefined ? null : String(settings[by] ?? '')
      const l = lots.indexOf(lot)
      if (by !== undefined && settings[by] === undefined)
        return refuse('missingSetting', `${by} needs a level.`, { column: by })
      if (l < 0)
        return refuse('unknownLevel', `${by} has no level ‘${lot}’. There are ${lots.join(', ')}.`, {
          column: by ?? '',
        })
      const point = pointOn(law, settings, values.slice(l * own, (l + 1) * own))
      if (!point.ok) return point
      const slopes = new Float64Array(parameters.length)
      slopes.set(point.value.slopes, l * own)
      return good({ value: point.value.value, slopes })
    },
    evaluate(values) {
      const residuals = new Float64Array(frame.rows.length)
      const slopes = parameters.map(() => new Float64Array(frame.rows.length))
      for (const [l, { which, evaluate }] of parts.entries()) {
        const part = evaluate(which.map((j) => values[j] as number))
        if (part === null) return null
        runs[l]?.forEach((place, i) => {
          residuals[place] = part.residuals[i] as number
          which.forEach((j, k) => {
            ;(slopes[j] as Float64Array)[place] = part.slopes[k]?.[i] as number
          })
        })
      }
      return { residuals, slopes }
    },
  }
}

/** Offsets to start from, as shares of the thinnest film. */
const offsetShares = [0, 0.3, 0.6, 0.9, -0.5, -2]

/** Straight lines of log(thickness − offset) on log(speed), by unweighted least squares. */
function startsOf(frame: Frame, runs: number[], speed: string, kind: SpinCurveKind): number[][] {
  const speeds = frame.columns.find(({ name }) => name === speed)?.values ?? []
  const x = runs.map((i) => Math.log(speeds[frame.rows[i] as number] as number))
  const films = runs.map((i) => frame.response[i] as number)
  const thinnest = smallest(films)
  const centre = mean(x)
  const spread = x.reduce((sum, value) => sum + (value - centre) ** 2, 0)
  return (kind === 'offset' ? offsetShares : [0]).map((share) => {
    const y = films.map((film) => Math.log(film - share * thinnest))
    const slope =
      spread > 0 ? x.reduce((sum, value, i) => sum + (value - centre) * (y[i] as number), 0) / spread : 0
    const line = [Math.exp(mean(y) - slope * centre), -slope]
    return kind === 'offset' ? [...line, share * thinnest] : line
  })
}

function mean(values: number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}
