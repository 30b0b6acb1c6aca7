import { type Answer, good, refuse } from '../problem.ts'
import {
  columnOf,
  type Expression,
  expressionText,
  type FunctionName,
  functionNames,
  product,
  sameTerm,
  type Term,
  termText,
  union,
} from './expression.ts'
import { formulaTokens, type Token } from './formula-tokens.ts'

/** A model formula, expanded. */
export type Formula = {
  /** What stands before `~`: a column or a function of one column; null where there is no `~`. */
  response: Expression | null
  /** The terms in the order of expansion; the constant, where there is one, first and empty. */
  terms: Term[]
}

/** Crossing many sums multiplies terms; beyond this nobody can mean it. */
const mostTerms = 500
const mostColumns = 100
const largestPower = 100
const longest = 50_000
const deepestBracket = 50

/** What a part of a formula stands for. `0` is no set of terms: it only takes the constant out of a sum. */
type Meaning = { terms: Term[]; zero?: true }

/** Why a formula cannot be read; leaves the parser in one step and never this file. */
class Misread extends Error {
  readonly at: number
  constructor(message: string, at: number) {
    super(message)
    this.at = at
  }
}

/**
 * Reads a model formula in the operators of Wilkinson & Rogers (Applied Statistics 22, 1973): `+`, `-`, `*`
 * (cross), `/` (nest), `.` (interaction; `:` is read as the same) and brackets, `.` binding closest, then
 * `/`, then `*`. Ours are the response and `~`, `1` and `0` for the constant and its absence, `^`, and the
 * functions of {@link functionNames}. Names other than letters, digits and `_` stand in double quotes.
 *
 * @returns the expanded formula, or a problem with code `formula` that names the character where it goes wrong
 */
export function parseFormula(text: string): Answer<Formula> {
  if (text.length > longest)
    return refuse('formula', `The model is longer than ${longest} characters.`, { column: 'model' })
  try {
    return good(new Parser(text).formula())
  } catch (error) {
    if (!(error instanceof Misread)) throw error
    return refuse('formula', `The model, at character ${error.at}: ${error.message}`, { column: 'model' })
  }
}

/** The formula's text in full, expanded, as it can be read again. */
export function formulaText(formula: Formula): string {
  const [first, ...rest] = formula.terms
  const side =
    first === undefined || first.length > 0
      ? ['0', ...formula.terms.map(termText)]
      : rest.length > 0
        ? rest.map(termText)
        : ['1']
  const response = formula.response === null ? '' : `${expressionText(formula.response)} ~ `
  return response + side.join(' + ')
}

/** Names of the columns that the terms use, each once, in order. */
export function columnsOf(terms: Term[]): string[] {
  return [...new Set(terms.flat().map(columnOf))]
}

class Parser {
  readonly #tokens: Token[]
  #place = 0
  #depth = 0

  constructor(text: string) {
    this.#tokens = formulaTokens(text)
  }

  formula(): Formula {
    const tilde = this.#tokens.findIndex((token) => token.text === '~' && token.kind === 'sign')
    const response = tilde < 0 ? null : this.#response()
    const terms = this.#sum([[]])
    const left = this.#next
    if (left.text === ')') throw new Misread('This bracket closes none.', left.at)
    if (left.kind !== 'end') throw this.#unexpected('an operator')
    const [constant, others] = [terms.filter((t) => t.length === 0), terms.filter((t) => t.length > 0)]
    if (terms.length === 0) throw new Misread('No term is left: neither a constant nor a column.', left.at)
    return { response, terms: [...constant, ...others] }
  }

  get #next(): Token {
    return this.#tokens[this.#place] as Token
  }

  #take(...signs: string[]): Token | undefined {
    const token = this.#next
    if (token.kind !== 'sign' || !signs.includes(token.text)) return undefined
    this.#place++
    return token
  }

  #unexpected(wanted: string): Misread {
    const { kind, text, at } = this.#next
    if (kind === 'end') return new Misread(`It ends where ${wanted} should follow.`, at)
    if (text.startsWith('"') && kind === 'unreadable')
      return new Misread('The double quotes are not closed.', at)
    return new Misread(`‘${text}’ stands where ${wanted} should.`, at)
  }

  #response(): Expression {
    const { at } = this.#next
    const { terms } = this.#powered()
    if (!this.#take('~')) throw this.#unexpected('‘~’')
    const [term, second] = terms
    const [response] = term ?? []
    if (second || term?.length !== 1 || !response)
      throw new Misread('The response is one column, or a function of one column.', at)
    if (response.kind === 'power' || (response.kind === 'function' && response.of.kind !== 'column'))
      throw new Misread('The response is a column, plain or under one function.', at)
    return response
  }

  #sum(start: Term[]): Term[] {
    let terms = start
    let sign = this.#take('+', '-')?.text ?? '+'
    for (;;) {
      const { at } = this.#next
      const { terms: more, zero } = this.#cross()
      const adds = zero ? sign === '-' : sign === '+'
      const change = zero ? [[]] : more
      terms = adds
        ? union(terms, change)
        : terms.filter((term) => !change.some((gone) => sameTerm(gone, term)))
      if (terms.length > mostTerms) throw tooMany(at)
      const operator = this.#take('+', '-')
      if (!operator) return terms
      sign = operator.text
    }
  }

  #cross(): Meaning {
    return this.#chain(
      '*',
      () => this.#nest(),
      (a, b, at) => union(a, b, this.#products(a, b, at)),
    )
  }

  #nest(): Meaning {
    return this.#chain(
      '/',
      () => this.#interaction(),
      (a, b, at) => union(a, this.#products([a.reduce(product, [])], b, at)),
    )
  }

  #interaction(): Meaning {
    return this.#chain(
      '.',
      () => this.#powered(),
      (a, b, at) => this.#products(a, b, at),
    )
  }

  #chain(sign: string, part: () => Meaning, join: (a: Term[], b: Term[], at: number) => Term[]): Meaning {
    let meaning = part()
    for (;;) {
      const operator = this.#take(sign)
      if (!operator) return meaning
      const other = part()
      if (meaning.zero || other.zero)
        throw new Misread('‘0’ stands for a missing constant and is only added.', operator.at)
      meaning = { terms: join(meaning.terms, other.terms, operator.at) }
    }
  }

  #products(a: Term[], b: Term[], at: number): Term[] {
    if (a.length * b.length > mostTerms) throw tooMany(at)
    const terms = union(a.flatMap((left) => b.map((right) => product(left, right))))
    if (terms.some((term) => term.length > mostColumns))
      throw new Misread(`An interaction takes at most ${mostColumns} columns.`, at)
    return terms
  }

  #powered(): Meaning {
    let meaning = this.#primary()
    for (;;) {
      const operator = this.#take('^')
      if (!operator) return meaning
      const exponent = this.#exponent()
      if (meaning.zero) throw new Misread('‘0’ has no powers.', operator.at)
      meaning = { terms: this.#raise(meaning.terms, exponent, operator.at) }
    }
  }

  #raise(terms: Term[], exponent: number, at: number): Term[] {
    if (exponent === 0) throw new Misread('To the power of 0 this is the constant. Write 1.', at)
    if (terms.length === 1) return terms.map((term) => term.map((part) => power(part, exponent)))
    if (!Number.isInteger(exponent) || exponent < 1)
      throw new Misread('A bracketed sum is crossed to a whole order of 1 or more.', at)
    let crossed = terms
    for (let order = 2; order <= exponent; order++) {
      const wider = union(crossed, this.#products(crossed, terms, at))
      if (wider.length === crossed.length) break
      crossed = wider
    }
    return crossed
  }

  #exponent(): number {
    const bracket = this.#take('(')
    const sign = this.#take('-') ? -1 : 1
    const token = this.#next
    if (token.kind !== 'number') throw this.#unexpected('a number')
    this.#place++
    if (bracket && !this.#take(')')) throw this.#unexpected('a closing bracket')
    if (Number(token.text) > largestPower) throw new Misread(`Powers go up to ${largestPower}.`, token.at)
    return sign * Number(token.text)
  }

  #primary(): Meaning {
    const token = this.#next
    if (this.#take('(')) {
      const terms = this.#bracketed(() => this.#sum([]), token.at)
      if (terms.length === 0) throw new Misread('No term is left in this bracket.', token.at)
      return { terms }
    }
    if (token.kind === 'name' && this.#tokens[this.#place + 1]?.text === '(') return this.#function()
    if (token.kind === 'name' || token.kind === 'quoted') {
      this.#place++
      const name = token.kind === 'name' ? token.text : token.text.slice(1, -1).replaceAll('""', '"')
      if (name === '') throw new Misread('The double quotes hold no name.', token.at)
      return { terms: [[{ kind: 'column', name }]] }
    }
    if (token.kind === 'number' && (token.text === '1' || token.text === '0')) {
      this.#place++
      return token.text === '1' ? { terms: [[]] } : { terms: [], zero: true }
    }
    if (token.kind === 'number')
      throw new Misread(
        `‘${token.text}’ is no term. Only 1 (constant) and 0 (no constant) stand alone.`,
        token.at,
      )
    throw this.#unexpected('a column')
  }

  #function(): Meaning {
    const token = this.#next
    const name = functionNames.find((known) => known === token.text)
    if (!name)
      throw new Misread(
        `‘${token.text}’ is no function here. There are ${functionNames.join(', ')}; log is the natural one.`,
        token.at,
      )
    this.#place += 2
    const terms = this.#bracketed(() => this.#powered().terms, token.at)
    const [of, second] = terms[0] ?? []
    if (terms.length !== 1 || !of || second) throw new Misread(`${name} takes one column.`, token.at)
    return { terms: [[applied(name, of)]] }
  }

  #bracketed(inside: () => Term[], at: number): Term[] {
    if (++this.#depth > deepestBracket) throw new Misread('Brackets are nested too deep.', at)
    const terms = inside()
    if (this.#next.kind === 'end') throw new Misread('This bracket is not closed.', at)
    if (!this.#take(')')) throw this.#unexpected('a closing bracket')
    this.#depth--
    return terms
  }
}

const tooMany = (at: number) => new Misread(`This makes more than ${mostTerms} terms.`, at)

function applied(name: FunctionName, of: Expression): Expression {
  return { kind: 'function', name, of }
}

/** A power; a power of a power is one power. */
function power(of: Expression, exponent: number): Expression {
  if (exponent === 1) return of
  return of.kind === 'power'
    ? { kind: 'power', of: of.of, exponent: of.exponent * exponent }
    : { kind: 'power', of, exponent }
}
