import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { blockContrasts, partOf } from './block-contrasts.ts'
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
  /** How many blocks the runs are shared out over, in their order and as evenly as can be. */
  blocks: number
  /** Runs that are there anyway, each with its block, from 0, after its factors. */
  fixed: readonly Place[]
  choices: readonly Choices[]
  /** Whether a run may be made at a place; null where every one may. */
  allowed: ((place: Place) => boolean) | null
  random: Random
  starts: number
}

/** One start in so many, but no more than this, is finished on the fine choices. */
const finished = { oneIn: 5, most: 4 }
/** A change is made, and a pass repeated, for no less than this share of the criterion. */
const worthwhile = { coarse: { change: 1e-4, pass: 1e-3 }, fine: { change: 1e-8, pass: 1e-6 } }
/** Passes of one climb: fewer where each is long, so that twelve factors still come to an end. */
function mostPasses(runs: number, factors: number, terms: number): number {
  return Math.min(100, Math.max(8, Math.round(1e8 / (runs * factors * terms ** 2))))
}

/**
 * Chooses runs by coordinate exchange (Meyer & Nachtsheim, Technometrics 37 (1995) 60–69): from many random
 * starts, one factor of one run after another is set to the best of its choices until none improves. Blocks
 * have shifts of their own beside the model's terms (Cook & Nachtsheim, Technometrics 31 (1989) 339–346): as the
 * sizes of the blocks are settled, |X′X| with them is highest where that of the terms given the blocks is, and
 * predictions are those for the mean block.
 *
 * @returns the chosen places with their block, from 0, after their factors; null where no allowed place was found
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
  const best = searches.slice(0, Math.min(finished.most, Math.ceil(searches.length / finished.oneIn)))
  for (const search of best) search.climb('fine')
  return best.reduce((a, b) => (b.score() > a.score() + 1e-9 ? b : a)).places
}

/** Terms by their power in one factor: what is left of them when that factor is taken out, and the power. */
type Split = { powers: number[]; rest: DesignTerm[]; highest: number }

/** What setting one factor of one run to a value would bring. */
type Line = {
  /** Ratio of the determinants of X′X, after and before. */
  gain: (at: number) => number
  /** Rise of the determinant's ratio above 1 (D), or of the trace's fall (I); −∞ where the value is useless. */
  merit: (at: number) => number
}

class Search {
  readonly places: Place[] = []
  #rows: Float64Array[] = []
  readonly #options: ExchangeOptions
  readonly #terms: readonly DesignTerm[]
  readonly #information: Information
  readonly #fixedRows: Float64Array[]
  readonly #splits: Split[]

  constructor(options: ExchangeOptions) {
    this.#options = options
    this.#terms = [...options.terms, ...blockContrasts(options.factors.length, options.blocks)]
    this.#information = new Information(options.factors, this.#terms, options.criterion)
    this.#fixedRows = options.fixed.map((place) => this.#information.rowAt(place))
    this.#splits = options.factors.map((_, f) => splitBy(this.#terms, f))
  }

  /** Draws a random start; false where the places drawn are all forbidden. */
  begin(): boolean {
    const { runs, blocks, choices, random, allowed } = this.#options
    for (let i = 0; i < runs; i++) {
      let place: Place | undefined
      for (let attempt = 0; attempt < 2000 && place === undefined; attempt++) {
        const drawn = Float64Array.of(
          ...choices.map(({ coarse }) => coarse[random.below(coarse.length)] as number),
          partOf(i, runs, blocks),
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
    const { runs, factors } = this.#options
    for (let pass = mostPasses(runs, factors.length, this.#terms.length); pass > 0; pass--) {
      const before = this.score()
      for (let i = 0; i < this.places.length; i++)
        for (let f = 0; f < factors.length; f++) this.#improve(i, f, stage)
      this.#refresh()
      if (this.score() < before + worthwhile[stage].pass) return
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
    let best = { at: held, merit: worthwhile[stage].change }
    const consider = (at: number) => {
      const merit = line.merit(at)
      if (!(merit > best.merit)) return
      if (this.#options.allowed !== null) {
        place[f] = at
        const allowed = this.#options.allowed(place)
        place[f] = held
        if (!allowed) return
      }
      best = { at, merit }
    }
    const values = choices[stage]
    for (let c = 0; c < values.length; c++) if (values[c] !== held) consider(values[c] as number)
    if (stage === 'fine' && choices.free) refineAround(best.at, line, consider)
    if (best.at === held) return
    const gain = line.gain(best.at)
    place[f] = best.at
    const row = this.#information.rowAt(place)
    this.#information.exchange(this.#rows[i]!, row, gain)
    this.#rows[i] = row
  }

  #along(i: number, f: number): Line {
    const { factors } = this.#options
    const { inverse, weighted } = this.#information
    const place = this.places[i]!
    const row = this.#rows[i]!
    const u = this.#information.times(inverse, row)
    const heavy = weighted === null ? null : this.#information.times(weighted, row)
    const products =
      factors[f]!.kind === 'categorical'
        ? this.#levelProducts(place, f, u, heavy)
        : rangeProducts(this.#splits[f]!, place, { inverse, weighted, u, heavy })
    const stays = 1 - dot(row, u)
    const gain = (at: number) => (1 + products.to(at)) * stays + products.both(at) ** 2
    if (heavy === null) return { gain, merit: (at) => gain(at) - 1 }
    const fromHeavy = dot(row, heavy)
    const { trace } = this.#information
    return {
      gain,
      merit: (at) => {
        const ratio = gain(at)
        if (!(ratio > 1e-12)) return Number.NEGATIVE_INFINITY
        const change =
          (1 + products.to(at)) * fromHeavy -
          2 * products.both(at) * products.bothHeavy(at) -
          stays * products.toHeavy(at)
        const after = trace + change / ratio
        return after > 0 ? trace / after - 1 : Number.NEGATIVE_INFINITY
      },
    }
  }

  #levelProducts(place: Place, f: number, u: Float64Array, heavy: Float64Array | null): Products {
    const information = this.#information
    const { weighted } = information
    const rowOf = (level: number) => {
      const there = Float64Array.from(place)
      there[f] = level
      return information.rowAt(there)
    }
    return {
      both: (level) => dot(rowOf(level), u),
      to: (level) => {
        const to = rowOf(level)
        return dot(to, information.times(information.inverse, to))
      },
      bothHeavy: (level) => (heavy === null ? 0 : dot(rowOf(level), heavy)),
      toHeavy: (level) => {
        const to = rowOf(level)
        return weighted === null ? 0 : dot(to, information.times(weighted, to))
      },
    }
  }
}

/** Products of the row at a value: with the present row and itself, by (X′X)⁻¹ and by its weighted form. */
type Products = {
  both: (at: number) => number
  to: (at: number) => number
  bothHeavy: (at: number) => number
  toHeavy: (at: number) => number
}

/** The row is Σ wₑ·tᵉ in the factor's value t, so its products with the matrices are polynomials in t. */
function rangeProducts(
  split: Split,
  place: Place,
  by: {
    inverse: Float64Array
    weighted: Float64Array | null
    u: Float64Array
    heavy: Float64Array | null
  },
): Products {
  const rest = new Float64Array(split.rest.length)
  for (let j = 0; j < rest.length; j++) rest[j] = termAt(split.rest[j]!, place)
  const both = linear(split, rest, by.u)
  const to = quadratic(split, rest, by.inverse)
  const bothHeavy = by.heavy === null ? null : linear(split, rest, by.heavy)
  const toHeavy = by.weighted === null ? null : quadratic(split, rest, by.weighted)
  return {
    both: (at) => polynomialAt(both, at),
    to: (at) => polynomialAt(to, at),
    bothHeavy: (at) => (bothHeavy === null ? 0 : polynomialAt(bothHeavy, at)),
    toHeavy: (at) => (toHeavy === null ? 0 : polynomialAt(toHeavy, at)),
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
function refineAround(at: number, line: Line, consider: (at: number) => void): void {
  const golden = (Math.sqrt(5) - 1) / 2
  let low = Math.max(-1, at - 0.1)
  let high = Math.min(1, at + 0.1)
  for (let i = 0; i < 40; i++) {
    const left = high - golden * (high - low)
    const right = low + golden * (high - low)
    if (line.merit(left) > line.merit(right)) high = right
    else low = left
  }
  consider((low + high) / 2)
}
