import { largest, smallest } from '../extremes.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import {
  columnOf,
  type Expression,
  evaluate,
  expressionText,
  product,
  type Term,
  union,
} from './expression.ts'
import type { Frame } from './frame.ts'

/** What the surface is a surface over: each numeric expression of the terms once, without its powers. */
export function surfaceInputs(terms: Term[]): Expression[] {
  const plain = terms.flat().map((part): Term => [part.kind === 'power' ? part.of : part])
  return union(plain).flat()
}

/** How the mean of the process runs, apart from the surface about it. */
export type Trend = 'none' | 'constant' | 'linear' | 'quadratic'

/** The terms of the trend over the inputs. */
export function trendTerms(inputs: Expression[], trend: Trend): Term[] {
  if (trend === 'none') return []
  const linear = inputs.map((input): Term => [input])
  if (trend === 'constant') return [[]]
  if (trend === 'linear') return [[], ...linear]
  const squares = inputs.map((of): Term => [{ kind: 'power', of, exponent: 2 }])
  const crossed = linear.flatMap((a, i) => linear.slice(i + 1).map((b) => product(a, b)))
  return [[], ...linear, ...squares, ...crossed]
}

/** The inputs' values by row used; a problem where one is categorical or does not change. */
export function inputValues(frame: Frame, inputs: Expression[]): Answer<Float64Array[]> {
  if (inputs.length === 0)
    return refuse('formula', 'A surface needs at least one numeric column in the model.', { column: 'model' })
  const problems: Problem[] = []
  const values = inputs.map((input) => {
    const name = columnOf(input)
    const column = frame.columns.find((one) => one.name === name)
    if (name in frame.levels) {
      const message = `${name} holds names: a surface runs over numbers only. Fit each ${name} by itself.`
      problems.push({ code: 'categoricalInput', message, column: name })
      return new Float64Array()
    }
    const own = Float64Array.from(frame.rows, (row) => evaluate(input, column?.values[row] as number))
    if (largest(own) === smallest(own)) {
      const message = `${expressionText(input)} has the same value in every run used: take it out of the model.`
      problems.push({ code: 'constantFactor', message, column: name })
    }
    return own
  })
  return problems.length > 0 ? { ok: false, problems } : good(values)
}
