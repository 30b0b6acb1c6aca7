import type { Factor, Settings } from '../contract/things.ts'
import { parseNumber } from '../numbers.ts'
import { type Answer, good, type Problem } from '../problem.ts'

/** Combinations of settings that are not to be run. */
export type Forbidden = {
  /** True where a run is not to be made. */
  forbids: (settings: Settings) => boolean
  /** The numbers that each factor is compared with, by its name. */
  limits: Record<string, number[]>
}

export const nothingForbidden: Forbidden = { forbids: () => false, limits: {} }

/** Brackets inside brackets; nobody writes more, and each takes room on the stack. */
const deepest = 50

type Token = { kind: 'word' | 'number' | 'sign'; text: string; at: number }
type Test = (settings: Settings) => boolean

/** Leaves the parser in one step and never this file. */
class Misread extends Error {}

const comparisons: Record<string, (a: number, b: number) => boolean> = {
  '<': (a, b) => a < b,
  '<=': (a, b) => a <= b,
  '≤': (a, b) => a <= b,
  '>': (a, b) => a > b,
  '>=': (a, b) => a >= b,
  '≥': (a, b) => a >= b,
  '=': (a, b) => a === b,
  '!=': (a, b) => a !== b,
  '≠': (a, b) => a !== b,
}

/**
 * Reads combinations to leave out, such as `bake > 105 and time > 40 or lot = B and not speed < 3000`: a factor
 * compared with a number, or one with levels by name with a level; `and` binds closer than `or`; brackets.
 * Settings are natural units. Names that hold more than letters, digits and `_` stand in double quotes.
 *
 * @returns a problem with code `forbid` where it cannot be read
 */
export function parseForbidden(text: string, factors: readonly Factor[]): Answer<Forbidden> {
  if (text.trim() === '') return good(nothingForbidden)
  try {
    return good(new Parser(text, factors).read())
  } catch (error) {
    if (!(error instanceof Misread)) throw error
    const problem: Problem = { code: 'forbid', message: `Left out: ${error.message}`, column: 'forbid' }
    return { ok: false, problems: [problem] }
  }
}

class Parser {
  readonly #tokens: Token[]
  readonly #factors: readonly Factor[]
  /** Without a prototype: a factor may be called ‘constructor’. */
  readonly #limits: Record<string, number[]> = Object.create(null)
  #place = 0
  #depth = 0

  constructor(text: string, factors: readonly Factor[]) {
    this.#tokens = tokensOf(text)
    this.#factors = factors
  }

  read(): Forbidden {
    const forbids = this.#either()
    const rest = this.#tokens[this.#place]
    if (rest !== undefined) throw new Misread(`‘${rest.text}’ at character ${rest.at} does not belong there.`)
    return { forbids, limits: this.#limits }
  }

  #either(): Test {
    const tests = [this.#both()]
    while (this.#takes('or')) tests.push(this.#both())
    return (settings) => tests.some((test) => test(settings))
  }

  #both(): Test {
    const tests = [this.#one()]
    while (this.#takes('and')) tests.push(this.#one())
    return (settings) => tests.every((test) => test(settings))
  }

  #one(): Test {
    if (this.#takes('not')) {
      const test = this.#inside(() => this.#one())
      return (settings) => !test(settings)
    }
    if (!this.#takes('(')) return this.#comparison()
    const test = this.#inside(() => this.#either())
    if (!this.#takes(')')) throw new Misread('a bracket is not closed.')
    return test
  }

  #inside(read: () => Test): Test {
    if (++this.#depth > deepest) throw new Misread('brackets are nested too deep.')
    const test = read()
    this.#depth--
    return test
  }

  #comparison(): Test {
    const left = this.#next('a factor')
    const factor = this.#factors.find(({ name }) => name === left.text)
    if (factor === undefined) {
      const names = this.#factors.map(({ name }) => name).join(', ')
      throw new Misread(`‘${left.text}’ at character ${left.at} is no factor. They are ${names}.`)
    }
    const sign = this.#next('a comparison')
    const compare = sign.kind === 'sign' ? comparisons[sign.text] : undefined
    if (compare === undefined)
      throw new Misread(`after ‘${left.text}’ comes <, <=, >, >=, = or !=, not ‘${sign.text}’.`)
    const right = this.#next('a value')
    return factor.kind === 'categorical'
      ? levelTest(factor, sign.text, right)
      : this.#numberTest(factor, compare, right)
  }

  #numberTest(factor: Factor, compare: (a: number, b: number) => boolean, right: Token): Test {
    const number = parseNumber(right.text)
    if (right.kind !== 'number' || !number.ok)
      throw new Misread(`${factor.name} is compared with a number, not with ‘${right.text}’.`)
    this.#limits[factor.name] ??= []
    const limits = this.#limits[factor.name] as number[]
    if (!limits.includes(number.value)) limits.push(number.value)
    return (settings) => compare(settings[factor.name] as number, number.value)
  }

  #next(wanted: string): Token {
    const token = this.#tokens[this.#place++]
    if (token === undefined) throw new Misread(`it ends where ${wanted} should come.`)
    return token
  }

  #takes(text: string): boolean {
    const token = this.#tokens[this.#place]
    if (token?.text !== text || token.kind === 'number') return false
    this.#place++
    return true
  }
}

function levelTest(factor: Factor, sign: string, right: Token): Test {
  if (sign !== '=' && sign !== '!=' && sign !== '≠')
    throw new Misread(`${factor.name} has levels by name: compare them by = or !=.`)
  if (!factor.levelNames.includes(right.text))
    throw new Misread(
      `${factor.name} has no level ‘${right.text}’. They are ${factor.levelNames.join(', ')}.`,
    )
  return sign === '='
    ? (settings) => settings[factor.name] === right.text
    : (settings) => settings[factor.name] !== right.text
}

function tokensOf(text: string): Token[] {
  const tokens: Token[] = []
  const pattern =
    /\s*(?:"((?:[^"]|"")*)"|([-+\u2212]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?(?![\p{L}\p{N}_]))|([\p{L}\p{N}_]+)|(<=|>=|!=|[<>=≤≥≠()]))/uy
  const end = text.trimEnd().length
  while (pattern.lastIndex < end) {
    const at = pattern.lastIndex
    const found = pattern.exec(text)
    if (found === null)
      throw new Misread(`‘${text.slice(at).trim()[0]}’ after character ${at} cannot be read.`)
    const [, name, number, word, sign] = found
    if (name !== undefined) tokens.push({ kind: 'word', text: name.replaceAll('""', '"'), at: at + 1 })
    else if (number !== undefined) tokens.push({ kind: 'number', text: number, at: at + 1 })
    else if (word !== undefined) tokens.push({ kind: 'word', text: word, at: at + 1 })
    else tokens.push({ kind: 'sign', text: sign as string, at: at + 1 })
  }
  return tokens
}
