/** Functions that a formula may apply to a column. `log` is the natural logarithm. */
export const functionNames = ['log', 'log10', 'sqrt', 'exp', 'inverse'] as const
export type FunctionName = (typeof functionNames)[number]

/** A column, a function of something, or a power of something. */
export type Expression =
  | { kind: 'column'; name: string }
  | { kind: 'function'; name: FunctionName; of: Expression }
  | { kind: 'power'; of: Expression; exponent: number }

/** A term is the product of its expressions; without any it is the constant. */
export type Term = Expression[]

/** A column's name as a formula writes it: in double quotes where it holds more than letters, digits and `_`. */
export function quoted(name: string): string {
  return /^[\p{L}\p{N}_]+$/u.test(name) && /[\p{L}_]/u.test(name) ? name : `"${name.replaceAll('"', '""')}"`
}

/** The expression as a formula writes it, without spaces. */
export function expressionText(expression: Expression): string {
  switch (expression.kind) {
    case 'column':
      return quoted(expression.name)
    case 'function':
      return `${expression.name}(${expressionText(expression.of)})`
    case 'power':
      return `${expressionText(expression.of)}^${expression.exponent}`
  }
}

/** The term as a formula writes it: `speed.time`, or `constant`. */
export function termText(term: Term): string {
  return term.length === 0 ? 'constant' : term.map(expressionText).join('.')
}

/** The column that an expression is built on. */
export function columnOf(expression: Expression): string {
  return expression.kind === 'column' ? expression.name : columnOf(expression.of)
}

/** Whether both terms hold the same expressions, in whatever order. */
export function sameTerm(a: Term, b: Term): boolean {
  return a.length === b.length && b.every((one) => a.some((other) => sameExpression(one, other)))
}

function sameExpression(a: Expression, b: Expression): boolean {
  if (a.kind === 'column') return b.kind === 'column' && a.name === b.name
  if (a.kind === 'power') return b.kind === 'power' && a.exponent === b.exponent && sameExpression(a.of, b.of)
  return b.kind === 'function' && a.name === b.name && sameExpression(a.of, b.of)
}

/** The product of two terms; an expression that stands in both is taken once (Wilkinson & Rogers, 1973). */
export function product(a: Term, b: Term): Term {
  const texts = new Set(a.map(expressionText))
  return [...a, ...b.filter((expression) => !texts.has(expressionText(expression)))]
}

/** The terms in order, each once. */
export function union(...lists: Term[][]): Term[] {
  const result: Term[] = []
  for (const term of lists.flat()) if (!result.some((other) => sameTerm(other, term))) result.push(term)
  return result
}

/** The value of the expression where its column has the value `x`; NaN where it has none. */
export function evaluate(expression: Expression, x: number): number {
  switch (expression.kind) {
    case 'column':
      return x
    case 'power':
      return evaluate(expression.of, x) ** expression.exponent
    case 'function':
      return apply(expression.name, evaluate(expression.of, x))
  }
}

/** The function's value; NaN where it has none. */
export function apply(name: FunctionName, x: number): number {
  switch (name) {
    case 'log':
      return x > 0 ? Math.log(x) : Number.NaN
    case 'log10':
      return x > 0 ? Math.log10(x) : Number.NaN
    case 'sqrt':
      return Math.sqrt(x)
    case 'exp':
      return Math.exp(x)
    case 'inverse':
      return x === 0 ? Number.NaN : 1 / x
  }
}
