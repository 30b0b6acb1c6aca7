import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import type { Choices } from './coordinate-exchange.ts'
import { type DesignTerm, type Place, termAt } from './design-terms.ts'
import { factorize, invert } from './information.ts'
import { momentMatrix } from './prediction-variance.ts'

export type VisitExchangeOptions = {
  factors: readonly Factor[]
  terms: readonly DesignTerm[]
  criterion: 'D' | 'I'
  runs: number
  /** How many visits the runs are shared out over, as evenly as can be. */
  visits: number
  /** Visit variance over run variance. */
  varianceRatio: number
  /** Runs that are there anyway, taken as runs with no visit error of their own. */
  fixed: readonly Place[]
  choices: readonly Choices[]
  allowed: ((place: Place) => boolean) | null
  random: Random
  starts: number
}

/** A run of the search and the visit to which it belongs, from 0. */
export type VisitRun = { place: Place; visit: number }

const mostPasses = 60

/**
 * Chooses the runs of a split plot by coordinate exchange (Goos & Vandebroek, Technometrics 45 (2003) 235–245;
 * Jones & Goos, Applied Statistics 56 (2007) 347–364): the hard factors of a whole visit and the other factors
 * of single runs are set in turn to the best of their choices. The information is X′V⁻¹X with V = I + ratio·ZZ′.
 *
 * @returns the runs, or null where no allowed place was found
 */
export function exchangeInVisits(options: VisitExchangeOptions): VisitRun[] | null {
  let best: Search | undefined
  for (let start = 0; start < options.starts; start++) {
    const search = new Search(options)
    if (!search.begin()) return null
    search.climb()
    if (best === undefined || search.score > best.score + 1e-9) best = search
  }
  return best?.runs ?? null
}

class Search {
  runs: VisitRun[] = []
  score = Number.NEGATIVE_INFINITY
  readonly #options: VisitExchangeOptions
  readonly #members: number[][]
  readonly #moments: Float64Array | null
  readonly #fixed: Float64Array
  readonly #scratch: Float64Array
  /** Each visit's part of the information. */
  #parts: Float64Array[] = []
  #total: Float64Array

  constructor(options: VisitExchangeOptions) {
    const { runs, visits, factors, terms, criterion } = options
    const size = terms.length ** 2
    this.#options = options
    this.#members = Array.from({ length: visits }, (_, v) =>
      Array.from({ length: runs }, (_, i) => i).filter((i) => Math.floor((i * visits) / runs) === v),
    )
    this.#moments = criterion === 'I' ? momentMatrix(factors, terms) : null
    this.#fixed = informationOf(terms, options.fixed, 0)
    this.#scratch = new Float64Array(size)
    this.#total = new Float64Array(size)
  }

  begin(): boolean {
    const { choices, factors, random, allowed } = this.#options
    const draw = (f: number) => choices[f]!.coarse[random.below(choices[f]!.coarse.length)] as number
    for (const [visit, members] of this.#members.entries()) {
      let done = false
      for (let attempt = 0; attempt < 200 && !done; attempt++) {
        const hard = factors.map((_, f) => draw(f))
        const drawn = members.map(() => {
          for (let again = 0; again < 50; again++) {
            const place = Float64Array.from(factors, (factor, f) =>
              factor.hardToChange ? hard[f]! : draw(f),
            )
            if (allowed === null || allowed(place)) return { place, visit }
          }
          return null
        })
        if (drawn.includes(null)) continue
        this.runs.push(...(drawn as VisitRun[]))
        done = true
      }
      if (!done) return false
    }
    this.#refresh()
    return true
  }

  climb(): void {
    const { factors } = this.#options
    for (let pass = 0; pass < mostPasses; pass++) {
      const before = this.score
      for (const [visit, members] of this.#members.entries())
        factors.forEach((factor, f) => {
          if (factor.hardToChange) this.#improve(visit, members, f)
          else for (const i of members) this.#improve(visit, [i], f)
        })
      this.#refresh()
      if (this.score < before + 1e-6) return
    }
  }

  /** Sets factor f of the given runs of a visit, all alike, to the best of its choices. */
  #improve(visit: number, moved: readonly number[], f: number): void {
    const { terms, choices, allowed } = this.#options
    const places = this.#members[visit]!.map((i) => this.runs[i]!.place)
    const movedPlaces = moved.map((i) => this.runs[i]!.place)
    const held = movedPlaces[0]![f]!
    let best = { at: held, score: this.score + 1e-9, part: this.#parts[visit]! }
    for (const at of choices[f]!.coarse) {
      if (at === held) continue
      for (const place of movedPlaces) place[f] = at
      if (allowed !== null && !movedPlaces.every(allowed)) continue
      const part = informationOf(terms, places, this.#weightOf(places.length))
      const score = this.#judge(visit, part)
      if (score > best.score) best = { at, score, part }
    }
    for (const place of movedPlaces) place[f] = best.at
    if (best.at === held) return
    const old = this.#parts[visit]!
    for (let e = 0; e < this.#total.length; e++) this.#total[e]! += best.part[e]! - old[e]!
    this.#parts[visit] = best.part
    this.score = best.score
  }

  /** V⁻¹ of a visit of m runs is I − w·11′ with w = ratio/(1 + m·ratio). */
  #weightOf(runs: number): number {
    const { varianceRatio } = this.#options
    return varianceRatio / (1 + runs * varianceRatio)
  }

  #judge(visit: number, part: Float64Array): number {
    const old = this.#parts[visit]!
    const matrix = new Float64Array(this.#total.length)
    for (let e = 0; e < matrix.length; e++) matrix[e] = this.#total[e]! + part[e]! - old[e]!
    return this.#scoreOf(matrix)
  }

  #scoreOf(matrix: Float64Array): number {
    const p = this.#options.terms.length
    for (let i = 0; i < p; i++) matrix[i + i * p]! += 1e-9 * this.runs.length
    if (this.#moments === null) return factorize(matrix, p)
    invert(matrix, this.#scratch, p)
    let trace = 0
    for (let e = 0; e < matrix.length; e++) trace += this.#scratch[e]! * this.#moments[e]!
    return -Math.log(trace)
  }

  #refresh(): void {
    const { terms } = this.#options
    this.#parts = this.#members.map((members) =>
      informationOf(
        terms,
        members.map((i) => this.runs[i]!.place),
        this.#weightOf(members.length),
      ),
    )
    this.#total = Float64Array.from(this.#fixed)
    for (const part of this.#parts) for (let e = 0; e < part.length; e++) this.#total[e]! += part[e]!
    this.score = this.#scoreOf(Float64Array.from(this.#total))
  }
}

/** Σ xx′ − weight·(Σx)(Σx)′ of rows, p × p. */
function informationOf(terms: readonly DesignTerm[], places: readonly Place[], weight: number): Float64Array {
  const p = terms.length
  const matrix = new Float64Array(p * p)
  const sum = new Float64Array(p)
  const row = new Float64Array(p)
  for (const place of places) {
    for (let j = 0; j < p; j++) {
      row[j] = termAt(terms[j]!, place)
      sum[j]! += row[j]!
    }
    for (let j = 0; j < p; j++) for (let i = 0; i < p; i++) matrix[i + j * p]! += row[i]! * row[j]!
  }
  if (weight > 0)
    for (let j = 0; j < p; j++) for (let i = 0; i < p; i++) matrix[i + j * p]! -= weight * sum[i]! * sum[j]!
  return matrix
}
