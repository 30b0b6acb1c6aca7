import type { Arithmetic, EquationFunction } from './arithmetic.ts'
import { apply } from './expression.ts'

/** Values of an expression by row, and its exact derivatives by parameter and row; overwritten by the next call. */
export type Tape = (parameters: ArrayLike<number>) => { values: Float64Array; slopes: Float64Array[] }

type Sign = '+' | '-' | '*' | '/' | '^' | 'negative' | EquationFunction

/** What a step computes from a and b, and the derivatives of its result y by a and by b. */
type Rule = {
  value(a: number, b: number): number
  byLeft(a: number, b: number, y: number): number
  byRight?(a: number, b: number, y: number): number
}

const rules: Record<Sign, Rule> = {
  '+': { value: (a, b) => a + b, byLeft: () => 1, byRight: () => 1 },
  '-': { value: (a, b) => a - b, byLeft: () => 1, byRight: () => -1 },
  '*': { value: (a, b) => a * b, byLeft: (_, b) => b, byRight: (a) => a },
  '/': { value: (a, b) => a / b, byLeft: (_, b) => 1 / b, byRight: (_, b, y) => -y / b },
  '^': {
    value: (a, b) => a ** b,
    byLeft: (a, b) => (b === 0 ? 0 : b * a ** (b - 1)),
    // 0 to any positive power stays 0, whatever the power.
    byRight: (a, b, y) => (a === 0 && b > 0 ? 0 : y * Math.log(a)),
  },
  negative: { value: (a) => -a, byLeft: () => -1 },
  log: { value: (a) => apply('log', a), byLeft: (a) => 1 / a },
  log10: { value: (a) => apply('log10', a), byLeft: (a) => 1 / (a * Math.LN10) },
  sqrt: { value: (a) => apply('sqrt', a), byLeft: (_a, _b, y) => 0.5 / y },
  exp: { value: (a) => apply('exp', a), byLeft: (_a, _b, y) => y },
  inverse: { value: (a) => apply('inverse', a), byLeft: (_a, _b, y) => -y * y },
  sin: { value: (a) => Math.sin(a), byLeft: (a) => Math.cos(a) },
  cos: { value: (a) => Math.cos(a), byLeft: (a) => -Math.sin(a) },
  arctan: { value: (a) => Math.atan(a), byLeft: (a) => 1 / (1 + a * a) },
}

/** A place holds the values of one part by row, and the derivatives of the whole by it. */
type Place = {
  values: Float64Array
  slopes: Float64Array
  /** Whether it holds a parameter; what does not is computed once, and gets no derivative. */
  moves: boolean
}
type Step = { rule: Rule; left: Place; right: Place; result: Place }

/**
 * Lays an expression over rows of data as a flat list of steps, so that values and derivatives cost two passes over it
 * (reverse differentiation; Griewank & Walther, Evaluating Derivatives, 2008).
 *
 * @param columns values by row of the names that are no parameters
 */
export function tapeOver(
  expression: Arithmetic,
  columns: ReadonlyMap<string, ArrayLike<number>>,
  parameters: string[],
  rows: number,
): Tape {
  const place = (moves: boolean): Place => ({
    values: new Float64Array(rows),
    slopes: new Float64Array(moves ? rows : 0),
    moves,
  })
  const still = (fill: (values: Float64Array) => void): Place => {
    const result = place(false)
    fill(result.values)
    return result
  }
  const own = parameters.map(() => place(true))
  const steps: Step[] = []
  const push = (sign: Sign, left: Place, right: Place): Place => {
    const step = { rule: rules[sign], left, right, result: place(left.moves || right.moves) }
    if (step.result.moves) steps.push(step)
    else forward(step)
    return step.result
  }
  const placeOf = (part: Arithmetic): Place => {
    switch (part.kind) {
      case 'number':
        return still((values) => values.fill(part.value))
      case 'name': {
        const parameter = own[parameters.indexOf(part.name)]
        return parameter ?? still((values) => values.set(columns.get(part.name) ?? []))
      }
      case 'negative':
      case 'function': {
        const of = placeOf(part.of)
        return push(part.kind === 'function' ? part.name : 'negative', of, of)
      }
      case 'operation':
        return push(part.sign, placeOf(part.left), placeOf(part.right))
    }
  }
  const whole = placeOf(expression)
  return (values) => {
    own.forEach((parameter, j) => {
      parameter.values.fill(values[j] as number)
      parameter.slopes.fill(0)
    })
    for (const step of steps) forward(step)
    whole.slopes.fill(1)
    for (let k = steps.length - 1; k >= 0; k--) backward(steps[k] as Step)
    return { values: whole.values, slopes: own.map(({ slopes }) => slopes) }
  }
}

function forward({ rule, left, right, result }: Step): void {
  const { value } = rule
  for (let i = 0; i < result.values.length; i++)
    result.values[i] = value(left.values[i] as number, right.values[i] as number)
  result.slopes.fill(0)
}

function backward({ rule, left, right, result }: Step): void {
  const { byLeft, byRight } = rule
  if (left.moves) passOn(byLeft, left, { left, right, result })
  if (right.moves && byRight) passOn(byRight, right, { left, right, result })
}

function passOn(rule: Rule['byLeft'], to: Place, { left, right, result }: Omit<Step, 'rule'>): void {
  for (let i = 0; i < result.slopes.length; i++) {
    const outer = result.slopes[i] as number
    if (outer !== 0)
      to.slopes[i]! +=
        outer * rule(left.values[i] as number, right.values[i] as number, result.values[i] as number)
  }
}
