import type { Arithmetic } from './arithmetic.ts'
import { apply } from './expression.ts'

/** A value with its derivatives by the parameters; null where they are all 0. */
export type Sloped = { value: number; slopes: Float64Array | null }

/**
 * The expression's value and its exact derivatives by the parameters, carried along through every operation
 * (forward differentiation; Griewank & Walther, Evaluating Derivatives, 2008).
 *
 * @param lookup what a name stands for: a number, or a parameter with its unit slope
 */
export function sloped(expression: Arithmetic, lookup: (name: string) => Sloped): Sloped {
  switch (expression.kind) {
    case 'number':
      return { value: expression.value, slopes: null }
    case 'name':
      return lookup(expression.name)
    case 'negative': {
      const of = sloped(expression.of, lookup)
      return combined(-of.value, [-1, of])
    }
    case 'function': {
      const of = sloped(expression.of, lookup)
      const value = apply(expression.name, of.value)
      return combined(value, [derivative(expression.name, of.value, value), of])
    }
    case 'operation':
      return operated(expression.sign, sloped(expression.left, lookup), sloped(expression.right, lookup))
  }
}

function operated(sign: '+' | '-' | '*' | '/' | '^', a: Sloped, b: Sloped): Sloped {
  switch (sign) {
    case '+':
      return combined(a.value + b.value, [1, a], [1, b])
    case '-':
      return combined(a.value - b.value, [1, a], [-1, b])
    case '*':
      return combined(a.value * b.value, [b.value, a], [a.value, b])
    case '/':
      return combined(a.value / b.value, [1 / b.value, a], [-a.value / b.value / b.value, b])
    case '^': {
      const value = a.value ** b.value
      // 0 to any positive power stays 0, whatever the power.
      const byPower = a.value === 0 && b.value > 0 ? 0 : value * Math.log(a.value)
      return combined(value, [b.value * a.value ** (b.value - 1), a], [byPower, b])
    }
  }
}

function derivative(name: Parameters<typeof apply>[0], x: number, value: number): number {
  switch (name) {
    case 'log':
      return 1 / x
    case 'log10':
      return 1 / (x * Math.LN10)
    case 'sqrt':
      return 0.5 / value
    case 'exp':
      return value
    case 'inverse':
      return -value * value
  }
}

/** A value whose slopes are the weighted sum of others. */
function combined(value: number, ...parts: [number, Sloped][]): Sloped {
  const moving = parts.filter(([, { slopes }]) => slopes !== null)
  if (moving.length === 0) return { value, slopes: null }
  const slopes = new Float64Array(moving[0]?.[1].slopes?.length ?? 0)
  for (const [weight, part] of moving)
    for (let j = 0; j < slopes.length; j++)
      slopes[j] = (slopes[j] as number) + weight * ((part.slopes as Float64Array)[j] as number)
  return { value, slopes }
}
