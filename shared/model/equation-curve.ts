import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import { type Arithmetic, type Equation, namesOf } from './arithmetic.ts'
import { columnOf, type Expression, type Term } from './expression.ts'
import { type Frame, frameOf } from './frame.ts'
import type { Evaluate } from './levenberg-marquardt.ts'
import { columnNamed, type Table } from './table.ts'
import { tapeOver } from './tape.ts'

/** An equation laid over the rows of a table that it can use. */
export type EquationCurve = {
  frame: Frame
  /** The response as the equation writes it. */
  response: Expression
  parameters: string[]
  /** Parts that share no parameter and no run, so that each can be searched alone. */
  parts: EquationPart[]
  /**
   * Value and slopes by all parameters at the settings.
   *
   * @returns problems with code `missingSetting`, `unknownLevel` or `outsideDomain`
   */
  at(settings: Settings, values: number[]): Answer<{ value: number; slopes: Float64Array }>
  /** Residuals and slopes of all runs, times the roots of the weights. */
  evaluate: Evaluate
}

/** One part: which of the parameters are its own, and the residuals of its runs. */
export type EquationPart = { which: number[]; evaluate: Evaluate }

/** @returns problems with code `unknownName`, `twiceNamed`, `unusedStart`, `fewerRunsThanTerms` or those of the table */
export function equationCurve(options: {
  table: Table
  equation: Equation
  start: Record<string, number>
  weights: string | undefined
}): Answer<EquationCurve> {
  const { table, equation, start, weights } = options
  const parameters = Object.keys(start)
  const names = namesOf(equation.right)
  const problems = nameProblems(names, parameters, columnOf(equation.response), table)
  if (problems.length > 0) return { ok: false, problems }
  const columns = names.filter((name) => !parameters.includes(name))
  const terms = columns.map((name): Term => [{ kind: 'column', name }])
  const framed = frameOf(table, { response: equation.response, terms }, equation.response, weights)
  if (!framed.ok) return framed
  const frame = framed.value
  const texts = Object.keys(frame.levels)
  if (texts.length > 0) return { ok: false, problems: texts.map(notNumeric) }
  const few = fewRuns(frame, parameters.length)
  if (few) return { ok: false, problems: [few, ...frame.problems] }
  const law = { expression: equation.right, columns, parameters }
  const evaluate = overRuns(
    law,
    frame,
    frame.rows.map((_, i) => i),
  )
  return good({
    frame,
    response: equation.response,
    parameters,
    parts: [{ which: parameters.map((_, j) => j), evaluate }],
    at: (settings, values) => pointOn(law, settings, values),
    evaluate,
  })
}

/** An expression, and which of its names are columns and which parameters. */
export type Law = { expression: Arithmetic; columns: string[]; parameters: string[] }

/** Where the runs are fewer than the parameters. */
export function fewRuns({ rows }: Frame, parameters: number): Problem | null {
  if (rows.length >= parameters) return null
  const message = `The equation has ${parameters} parameters, the table only ${rows.length} usable runs.`
  return { code: 'fewerRunsThanTerms', message }
}

/**
 * Residuals and slopes of some of the frame's runs.
 *
 * @param runs places among the frame's used rows
 */
export function overRuns({ expression, columns, parameters }: Law, frame: Frame, runs: number[]): Evaluate {
  const data = new Map(
    columns.map((name) => {
      const values = frame.columns.find((column) => column.name === name)?.values ?? []
      return [name, runs.map((i) => values[frame.rows[i] as number] as number)]
    }),
  )
  const measured = runs.map((i) => frame.response[i] as number)
  const roots = runs.map((i) => Math.sqrt(frame.weights?.[i] ?? 1))
  const tape = tapeOver(expression, data, parameters, runs.length)
  return (at) => {
    const { values, slopes } = tape(at)
    if (!finite(values) || !slopes.every(finite)) return null
    const residuals = new Float64Array(runs.length)
    for (let i = 0; i < runs.length; i++)
      residuals[i] = (roots[i] as number) * ((measured[i] as number) - (values[i] as number))
    return { residuals, slopes: slopes.map((column) => scaled(column, frame.weights && roots)) }
  }
}

/** Value and slopes at the settings. */
export function pointOn(
  { expression, columns, parameters }: Law,
  settings: Settings,
  at: number[],
): Answer<{ value: number; slopes: Float64Array }> {
  const missing = columns.find((name) => typeof settings[name] !== 'number')
  if (missing !== undefined)
    return refuse('missingSetting', `${missing} needs a number.`, { column: missing })
  const data = new Map(columns.map((name) => [name, [settings[name] as number]]))
  const { values, slopes } = tapeOver(expression, data, parameters, 1)(at)
  const [value = Number.NaN] = values
  const own = Float64Array.from(slopes, ([slope]) => slope as number)
  if (!Number.isFinite(value) || !finite(own))
    return refuse('outsideDomain', 'The equation has no value at these settings.')
  return good({ value, slopes: own })
}

/** A copy, by row times a factor where there are factors. */
function scaled(values: Float64Array, factors: number[] | null): Float64Array {
  const result = values.slice()
  if (factors !== null) for (let i = 0; i < result.length; i++) result[i]! *= factors[i] as number
  return result
}

function finite(values: Float64Array): boolean {
  for (const value of values) if (!Number.isFinite(value)) return false
  return true
}

function nameProblems(names: string[], parameters: string[], response: string, table: Table): Problem[] {
  const problem = (code: string, column: string, message: string): Problem => ({ code, message, column })
  const unknown = names.filter((name) => !parameters.includes(name) && !columnNamed(table, name))
  const twice = parameters.filter((name) => columnNamed(table, name))
  const unused = parameters.filter((name) => !names.includes(name))
  return [
    ...unknown.map((name) =>
      problem('unknownName', name, `‘${name}’ is no column, and as a parameter it needs a start value.`),
    ),
    ...twice.map((name) =>
      problem(
        'twiceNamed',
        name,
        `‘${name}’ is a column and has a start value: name the parameter otherwise.`,
      ),
    ),
    ...unused.map((name) =>
      problem('unusedStart', name, `‘${name}’ has a start value but no place in the equation.`),
    ),
    ...(names.includes(response)
      ? [problem('twiceNamed', response, `${response} stands on both sides of the equation.`)]
      : []),
  ]
}

function notNumeric(name: string): Problem {
  return {
    code: 'notANumber',
    message: `${name} holds texts: an equation computes with numbers.`,
    column: name,
  }
}
