import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { type DesignTerm, type Place, termAt } from './design-terms.ts'
import { dot, Information } from './information.ts'

/** The values that a factor may take in a search: coded, or numbers of levels by name. */
export type Choices = {
  /** Tried in every start. */
  coarse: Float64Array
  /** Tried when the best starts are finished; the coarse ones among them. */
  fine: Float64Array
  /** True where any value between may be taken at the end. */
  free: boolean
}

export type ExchangeOptions = {
  factors: readonly Factor[]
  terms: readonly DesignTerm[]
  criterion: 'D' | 'I'
  /** Runs to choose. */
  runs: number
  /** Runs that are there anyway. */
  fixed: readonly Place[]
  choices: readonly Choices[]
  /** Whether a run may be made at a place; null where every one may. */
  allowed: ((place: Place) => boolean) | null
  random: Random
  starts: number
}

/** How many of the starts are finished on the fine choices. */
const finished = 3
const mostPasses = 100

/**
 * Chooses runs by coordinate exchange (Meyer & Nachtsheim, Technometrics 37 (1995) 60–69): from many random
 * starts, one factor of one run after another is set to the best of its choices until none improves.
 *
 * @returns the chosen places, or null where no allowed place was found
 */
export function exchangeCoordinates(options: ExchangeOptions): Place[] | null {
  const searches: Search[] = []
  for (let start = 0; start < options.starts; start++) {
    const search = new Search(options)
    if (!search.begin()) return null
    search.climb('coarse')
    searches.push(search)
  }
  searches.sort((a, b) => b.score() - a.score())
  const best = searches.slice(0, finished)
  for (const search of best) search.climb('fine')
  return best.reduce((a, b) => (b.score() > a.score() + 1e-9 ? b : a)).places
}

/** Terms by their power in one factor: what is left of them when that factor is taken out, and the power. */
type Split = { powers: number[]; rest: DesignTerm[]; highest: number }

class Search {
  readonly places: Place[] = []
  #rows: Float64Array[] = []
  readonly #options: ExchangeOptions
  readonly #information: Information
  readonly #fixedRows: Float64Array[]
  readonly #splits: Split[]

  constructor(options: ExchangeOptions) {
    this.#options = options
    this.#information = new Information(options.factors, options.terms, options.criterion)
    this.#fixedRows = options.fixed.map((place) => this.#information.rowAt(place))
    this.#splits = options.factors.map((_, f) => splitBy(options.terms, f))
  }

  /** Draws a random start; false where the places drawn are all forbidden. */
  begin(): boolean {
    const { runs, choices, random, allowed } = this.#options
    for (let i = 0; i < runs; i++) {
      let place: Place | undefined
      for (let attempt = 0; attempt < 2000 && place === undefined; attempt++) {
        const drawn = Float64Array.from(
          choices,
          ({ coarse }) => coarse[random.below(coarse.length)] as number,
        )
        if (allowed === null || allowed(drawn)) place = drawn
      }
      if (place === undefined) return false
      this.places.push(place)
    }
    this.#refresh()
    return true
  }

  /** Higher is better, for either criterion. */
  score(): number {
    return this.#options.criterion === 'D'
      ? this.#information.logDeterminant
      : -Math.log(this.#information.trace)
  }

  climb(stage: 'coarse' | 'fine'): void {
    for (let pass = 0; pass < mostPasses; pass++) {
      const before = this.score()
      for (let i = 0; i < this.places.length; i++)
        for (let f = 0; f < this.#options.factors.length; f++) this.#improve(i, f, stage)
      this.#refresh()
      if (this.score() < before + (stage === 'coarse' ? 1e-5 : 1e-9)) return
    }
  }

  #refresh(): void {
    this.#rows = this.places.map((place) => this.#information.rowAt(place))
    this.#information.set([...this.#fixedRows, ...this.#rows])
  }

  #improve(i: number, f: number, stage: 'coarse' | 'fine'): void {
    const place = this.places[i]!
    const held = place[f]!
    const line = this.#along(i, f)
    const choices = this.#options.choices[f]!
    let best = { at: held, merit: 1e-9 }
    const consider = (at: number) => {
      const merit = line(at).merit
      if (!(merit > best.merit)) return
      if (this.#options.allowed !== null) {
        place[f] = at
        const allowed = this.#options.allowed(place)
        place[f] = held
        if (!allowed) return
      }
      best = { at, merit }
    }
    for (const at of choices[stage]) if (at !== held) consider(at)
    if (stage === 'fine' && choices.free) refineAround(best.at, line, consider)
    if (best.at === held) return
    const { gain } = line(best.at)
    place[f] = best.at
    const row = this.#information.rowAt(place)
    this.#information.exchange(this.#rows[i]!, row, gain)
    this.#rows[i] = row
  }

  /** What setting factor f of run i to a value would bring: the ratio of determinants, and the gain in score. */
  #along(i: number, f: number): (at: number) => { gain: number; merit: number } {
    const { criterion, factors } = this.#options
    const information = this.#information
    const place = this.places[i]!
    const row = this.#rows[i]!
    const { inverse, weighted } = information
    const u = information.times(inverse, row)
    const from = dot(row, u)
    const heavy = weighted === null ? null : information.times(weighted, row)
    const fromHeavy = heavy === null ? 0 : dot(row, heavy)
    const judge = (both: number, to: number, bothHeavy: number, toHeavy: number) => {
      const gain = (1 + to) * (1 - from) + both * both
      if (!(gain > 0)) return { gain, merit: Number.NEGATIVE_INFINITY }
      if (criterion === 'D') return { gain, merit: Math.log(gain) }
      const change = ((1 + to) * fromHeavy - 2 * both * bothHeavy - (1 - from) * toHeavy) / gain
      const trace = information.trace + change
      return { gain, merit: trace > 0 ? Math.log(information.trace / trace) : Number.NEGATIVE_INFINITY }
    }
    if (factors[f]!.kind === 'categorical')
      return (level) => {
        const there = Float64Array.from(place)
        there[f] = level
        const to = information.rowAt(there)
        return judge(
          dot(to, u),
          dot(to, information.times(inverse, to)),
          heavy === null ? 0 : dot(to, heavy),
          weighted === null ? 0 : dot(to, information.times(weighted, to)),
        )
      }
    // The row is Σ wₑ·tᵉ in the factor's value t, so its products with the matrices are polynomials in t.
    const split = this.#splits[f]!
    const rest = Float64Array.from(split.rest, (term) => termAt(term, place))
    const both = linear(split, rest, u)
    const to = quadratic(split, rest, inverse)
    const bothHeavy = heavy === null ? null : linear(split, rest, heavy)
    const toHeavy = weighted === null ? null : quadratic(split, rest, weighted)
    return (at) =>
      judge(
        polynomialAt(both, at),
        polynomialAt(to, at),
        bothHeavy === null ? 0 : polynomialAt(bothHeavy, at),
        toHeavy === null ? 0 : polynomialAt(toHeavy, at),
      )
  }
}

function splitBy(terms: readonly DesignTerm[], factor: number): Split {
  const powers = terms.map((term) =>
    term.parts.reduce((sum, part) => sum + (part.factor === factor && 'power' in part ? part.power : 0), 0),
  )
  return {
    powers,
    rest: terms.map((term) => ({
      name: term.name,
      parts: term.parts.filter((part) => part.factor !== factor),
    })),
    highest: Math.max(...powers),
  }
}

/** Coefficients by power of t of Σ rest·t^power·vector. */
function linear({ powers, highest }: Split, rest: Float64Array, vector: Float64Array): Float64Array {
  const polynomial = new Float64Array(highest + 1)
  for (let j = 0; j < rest.length; j++) polynomial[powers[j]!]! += rest[j]! * vector[j]!
  return polynomial
}

/** Coefficients by power of t of row′·matrix·row with row = rest·t^power. */
function quadratic({ powers, highest }: Split, rest: Float64Array, matrix: Float64Array): Float64Array {
  const p = rest.length
  const polynomial = new Float64Array(2 * highest + 1)
  for (let j = 0; j < p; j++) {
    const value = rest[j]!
    if (value === 0) continue
    const power = powers[j]!
    for (let i = 0; i < j; i++) polynomial[power + powers[i]!]! += 2 * value * rest[i]! * matrix[i + j * p]!
    polynomial[2 * power]! += value * value * matrix[j + j * p]!
  }
  return polynomial
}

function polynomialAt(polynomial: Float64Array, at: number): number {
  let value = 0
  for (let e = polynomial.length - 1; e >= 0; e--) value = value * at + polynomial[e]!
  return value
}

/** Looks for the top between the neighbours of a value, by golden sections. */
function refineAround(
  at: number,
  line: (at: number) => { merit: number },
  consider: (at: number) => void,
): void {
  const golden = (Math.sqrt(5) - 1) / 2
  let low = Math.max(-1, at - 0.1)
  let high = Math.min(1, at + 0.1)
  for (let i = 0; i < 40; i++) {
    const left = high - golden * (high - low)
    const right = low + golden * (high - low)
    if (line(left).merit > line(right).merit) high = right
    else low = left
  }
  consider((low + high) / 2)
}
