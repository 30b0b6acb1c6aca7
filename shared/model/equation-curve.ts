import { type Answer, good, type Problem } from '../problem.ts'
import { type Equation, namesOf } from './arithmetic.ts'
import type { Term } from './expression.ts'
import { type Frame, frameOf } from './frame.ts'
import type { Evaluation } from './levenberg-marquardt.ts'
import { type Sloped, sloped } from './slopes.ts'
import { columnNamed, type Table } from './table.ts'

/** An equation laid over the rows of a table that it can use. */
export type EquationCurve = {
  frame: Frame
  /** In the order of the start values. */
  parameters: string[]
  /** Value and slopes by the parameters where the columns have the given values; null where there is none. */
  at(column: (name: string) => number, parameters: number[]): { value: number; slopes: Float64Array } | null
  /** Residuals and slopes of all rows, times the roots of the weights. */
  evaluate(parameters: number[]): Evaluation | null
}

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
  const problems = nameProblems(names, parameters, equation, table)
  if (problems.length > 0) return { ok: false, problems }
  const columns = names.filter((name) => !parameters.includes(name))
  const terms = columns.map((name): Term => [{ kind: 'column', name }])
  const response = { kind: 'column', name: equation.response } as const
  const framed = frameOf(table, { response, terms }, response, weights)
  if (!framed.ok) return framed
  const frame = framed.value
  const texts = Object.keys(frame.levels)
  if (texts.length > 0) return { ok: false, problems: texts.map(notNumeric) }
  const n = frame.rows.length
  if (n < parameters.length)
    return {
      ok: false,
      problems: [
        {
          code: 'fewerRunsThanTerms',
          message: `The equation has ${parameters.length} parameters, the table only ${n} usable runs.`,
        },
        ...frame.problems,
      ],
    }
  const units = parameters.map((_, j) => Float64Array.from(parameters, (_, k) => (k === j ? 1 : 0)))
  const at: EquationCurve['at'] = (column, values) => {
    const lookup = (name: string): Sloped => {
      const j = parameters.indexOf(name)
      return j < 0
        ? { value: column(name), slopes: null }
        : { value: values[j] as number, slopes: units[j] as Float64Array }
    }
    const { value, slopes } = sloped(equation.right, lookup)
    const found = slopes ?? new Float64Array(parameters.length)
    return Number.isFinite(value) && found.every(Number.isFinite) ? { value, slopes: found } : null
  }
  const data = new Map(frame.columns.map((column) => [column.name, column.values as number[]]))
  return good({
    frame,
    parameters,
    at,
    evaluate: (values) => {
      const residuals = new Float64Array(n)
      const slopes = parameters.map(() => new Float64Array(n))
      for (let i = 0; i < n; i++) {
        const row = frame.rows[i] as number
        const point = at((name) => data.get(name)?.[row] as number, values)
        if (!point) return null
        const root = Math.sqrt(frame.weights?.[i] ?? 1)
        residuals[i] = root * ((frame.response[i] as number) - point.value)
        slopes.forEach((column, j) => {
          column[i] = root * (point.slopes[j] as number)
        })
      }
      return { residuals, slopes }
    },
  })
}

function nameProblems(names: string[], parameters: string[], equation: Equation, table: Table): Problem[] {
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
    ...(names.includes(equation.response)
      ? [
          problem(
            'twiceNamed',
            equation.response,
            `${equation.response} stands on both sides of the equation.`,
          ),
        ]
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
