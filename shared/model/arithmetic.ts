import { type Answer, good, refuse } from '../problem.ts'
import { type Expression, functionNames } from './expression.ts'

/** Functions of an equation: those of formulas, and the circular ones; angles in radians. */
const equationFunctions = [...functionNames, 'sin', 'cos', 'arctan'] as const
export type EquationFunction = (typeof equationFunctions)[number]

/** An expression of ordinary arithmetic in named quantities. */
export type Arithmetic =
  | { kind: 'number'; value: number }
  | { kind: 'name'; name: string }
  | { kind: 'negative'; of: Arithmetic }
  | { kind: 'operation'; sign: '+' | '-' | '*' | '/' | '^'; left: Arithmetic; right: Arithmetic }
  | { kind: 'function'; name: EquationFunction; of: Arithmetic }

/** An equation for a measured column, or for a function of it such as its logarithm. */
export type Equation = { response: Expression; right: Arithmetic }

type Token = { kind: 'number' | 'name' | 'sign' | 'unreadable' | 'end'; text: string; at: number }

const pattern =
  /(?<number>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)|(?<name>[\p{L}_][\p{L}\p{N}_]*|"(?:[^"]|"")+")|(?<sign>[-+*/^()=\u2212])/uy

const deepest = 50
const longest = 2000

class Misread extends Error {
  readonly at: number
  constructor(message: string, at: number) {
    super(message)
    this.at = at
  }
}

/**
 * Reads an equation such as `thickness = a*speed^(-b) + c`: ordinary arithmetic with `+ - * / ^`, brackets, numbers,
 * `pi` and the functions of {@link equationFunctions}, and nothing else. `^` binds closest and to the right, so that
 * −x^2 is −(x²). Names other than letters, digits and `_` stand in double quotes. On the left is the measured column,
 * or a function of it that formulas know: `log(thickness) = …`.
 *
 * @returns the equation, or a problem with code `equation` that names the character where it goes wrong
 */
export function parseEquation(text: string): Answer<Equation> {
  if (text.length > longest)
    return refuse('equation', `The equation is longer than ${longest} characters.`, { column: 'equation' })
  try {
    return good(new Parser(tokensOf(text)).equation())
  } catch (error) {
    if (!(error instanceof Misread)) throw error
    return refuse('equation', `The equation, at character ${error.at}: ${error.message}`, {
      column: 'equation',
    })
  }
}

/** Names that the expression uses, each once, in order. */
export function namesOf(expression: Arithmetic): string[] {
  switch (expression.kind) {
    case 'number':
      return []
    case 'name':
      return [expression.name]
    case 'operation':
      return [...new Set([...namesOf(expression.left), ...namesOf(expression.right)])]
    default:
      return namesOf(expression.of)
  }
}

function tokensOf(text: string): Token[] {
  const tokens: Token[] = []
  let at = 0
  while (at < text.length) {
    if (/\s/u.test(text.charAt(at))) {
      at++
      continue
    }
    pattern.lastIndex = at
    const found = pattern.exec(text)
    if (!found) {
      tokens.push({ kind: 'unreadable', text: text.charAt(at), at: at + 1 })
      break
    }
    const kind =
      found.groups?.number !== undefined ? 'number' : found.groups?.name !== undefined ? 'name' : 'sign'
    tokens.push({ kind, text: found[0] === '\u2212' ? '-' : found[0], at: at + 1 })
    at = pattern.lastIndex
  }
  tokens.push({ kind: 'end', text: '', at: text.length + 1 })
  return tokens
}

class Parser {
  readonly #tokens: Token[]
  #place = 0
  #depth = 0

  constructor(tokens: Token[]) {
    this.#tokens = tokens
  }

  equation(): Equation {
    const response = this.#response()
    if (!this.#take('=')) throw this.#unexpected('‘=’')
    const right = this.#sum()
    if (this.#next.kind !== 'end') throw this.#unexpected('an operator')
    return { response, right }
  }

  #response(): Expression {
    const { kind, text } = this.#next
    if (kind !== 'name') throw this.#unexpected('the measured column')
    this.#place++
    const name = functionNames.find((known) => known === text)
    if (!name || !this.#take('(')) return { kind: 'column', name: plainName(text) }
    const of = this.#next
    if (of.kind !== 'name') throw this.#unexpected('the measured column')
    this.#place++
    if (!this.#take(')')) throw this.#unexpected('a closing bracket')
    return { kind: 'function', name, of: { kind: 'column', name: plainName(of.text) } }
  }

  get #next(): Token {
    return this.#tokens[this.#place] as Token
  }

  #take(...signs: string[]): string | undefined {
    const { kind, text } = this.#next
    if (kind !== 'sign' || !signs.includes(text)) return undefined
    this.#place++
    return text
  }

  #unexpected(wanted: string): Misread {
    const { kind, text, at } = this.#next
    return kind === 'end'
      ? new Misread(`It ends where ${wanted} should follow.`, at)
      : new Misread(`‘${text}’ stands where ${wanted} should.`, at)
  }

  #sum(): Arithmetic {
    if (++this.#depth > deepest) throw new Misread('It is nested too deep.', this.#next.at)
    let left = this.#product()
    for (let sign = this.#take('+', '-'); sign; sign = this.#take('+', '-'))
      left = operation(sign, left, this.#product())
    this.#depth--
    return left
  }

  #product(): Arithmetic {
    let left = this.#signed()
    for (let sign = this.#take('*', '/'); sign; sign = this.#take('*', '/'))
      left = operation(sign, left, this.#signed())
    return left
  }

  #signed(): Arithmetic {
    if (++this.#depth > deepest) throw new Misread('It is nested too deep.', this.#next.at)
    const sign = this.#take('+', '-')
    const of = sign ? this.#signed() : this.#power()
    this.#depth--
    return sign === '-' ? { kind: 'negative', of } : of
  }

  #power(): Arithmetic {
    const base = this.#atom()
    return this.#take('^') ? operation('^', base, this.#signed()) : base
  }

  #atom(): Arithmetic {
    const token = this.#next
    if (token.kind === 'number') {
      this.#place++
      return { kind: 'number', value: Number(token.text) }
    }
    if (token.kind === 'name') {
      this.#place++
      if (this.#take('(')) return this.#function(token)
      // A column of that name stands in double quotes.
      if (token.text === 'pi') return { kind: 'number', value: Math.PI }
      return { kind: 'name', name: plainName(token.text) }
    }
    if (!this.#take('(')) throw this.#unexpected('a number or a name')
    return this.#closed(token)
  }

  #function({ text, at }: Token): Arithmetic {
    const name = equationFunctions.find((known) => known === text)
    if (!name)
      throw new Misread(
        `‘${text}’ is no function here. There are ${equationFunctions.join(', ')}; a product needs its *.`,
        at,
      )
    return { kind: 'function', name, of: this.#closed(this.#next) }
  }

  #closed(opened: Token): Arithmetic {
    const inside = this.#sum()
    if (this.#next.kind === 'end') throw new Misread('A bracket is not closed.', opened.at)
    if (!this.#take(')')) throw this.#unexpected('a closing bracket')
    return inside
  }
}

function operation(sign: string, left: Arithmetic, right: Arithmetic): Arithmetic {
  return { kind: 'operation', sign: sign as '+', left, right }
}

function plainName(text: string): string {
  return text.startsWith('"') ? text.slice(1, -1).replaceAll('""', '"') : text
}
