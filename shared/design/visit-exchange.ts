import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { blockContrasts, partOf } from './block-contrasts.ts'
import type { Choices } from './coordinate-exchange.ts'
import { type DesignTerm, type Place, termAt } from './design-terms.ts'
import { factorize, invert } from './information.ts'
import { momentMatrix } from './prediction-variance.ts'
import { SearchWork } from './search-work.ts'

export type VisitExchangeOptions = {
  factors: readonly Factor[]
  terms: readonly DesignTerm[]
  criterion: 'D' | 'I'
  runs: number
  /** How many visits the runs are shared out over, as evenly as can be. */
  visits: number
  /** How many blocks the visits are shared out over, as evenly as can be. */
  blocks: number
  /** Visit variance over run variance. */
  varianceRatio: number
  /** Runs that are there anyway, with their block, from 0, after their factors; taken to have no visit error. */
  fixed: readonly Place[]
  choices: readonly Choices[]
  allowed: ((place: Place) => boolean) | null
  random: Random
  /** Starts to make where the work allows for them. */
  starts: number
  /** Most work, in multiplications. */
  work: number
}

/** A run of the search and the visit to which it belongs, from 0. */
export type VisitRun = { place: Place; visit: number }

const mostPasses = 60
/** How many of the starts, climbed on every fifth choice, are finished on all. */
const finished = 3

/**
 * Chooses the runs of a split plot by coordinate exchange (Goos & Vandebroek, Technometrics 45 (2003) 235–245;
 * Jones & Goos, Applied Statistics 56 (2007) 347–364): the hard factors of a whole visit and the other factors
 * of single runs are set in turn to the best of their choices. The information is X′V⁻¹X with V = I + ratio·ZZ′;
 * each visit lies in one block, and the shifts of the blocks stand beside the model's terms.
 *
 * @returns the runs and how many starts the work allowed; null where no allowed place was found
 */
export function exchangeInVisits(options: VisitExchangeOptions): { runs: VisitRun[]; starts: number } | null {
  const work = new SearchWork(options.work)
  const sparse = options.choices.map(({ coarse }) =>
    coarse.length > 10 ? coarse.filter((_, c) => c % 5 === 0) : coarse,
  )
  const whole = options.choices.map(({ coarse }) => coarse)
  const searches: Search[] = []
  for (let start = 0; start < options.starts && work.mayStart; start++) {
    const search = new Search(options, work)
    if (!search.begin()) return null
    search.climb(sparse, () => work.startsOver)
    searches.push(search)
  }
  const best = searches.sort((a, b) => b.score - a.score).slice(0, finished)
  for (const search of best) search.climb(whole, () => work.over)
  return { runs: best.reduce((a, b) => (b.score > a.score + 1e-9 ? b : a)).runs, starts: searches.length }
}

class Search {
  runs: VisitRun[] = []
  score = Number.NEGATIVE_INFINITY
  readonly #options: VisitExchangeOptions
  readonly #terms: readonly DesignTerm[]
  readonly #members: number[][]
  readonly #moments: Float64Array | null
  readonly #fixed: Float64Array
  readonly #scratch: Float64Array
  /** The model's row of each run. */
  #rows: Float64Array[] = []
  /** Each visit's part of the information. */
  #parts: Float64Array[] = []
  #total: Float64Array

  readonly #work: SearchWork

  constructor(options: VisitExchangeOptions, work: SearchWork) {
    this.#work = work
    const { runs, visits, blocks, factors, criterion } = options
    const terms = [...options.terms, ...blockContrasts(factors.length, blocks)]
    const size = terms.length ** 2
    this.#options = options
    this.#terms = terms
    this.#members = Array.from({ length: visits }, (_, v) =>
      Array.from({ length: runs }, (_, i) => i).filter((i) => partOf(i, runs, visits) === v),
    )
    this.#moments = criterion === 'I' ? momentMatrix(factors, terms) : null
    const fixedRows = options.fixed.map((place) => rowAt(terms, place))
    this.#fixed = informationOf(fixedRows, terms.length, 0)
    this.#scratch = new Float64Array(size)
    this.#total = new Float64Array(size)
  }

  begin(): boolean {
    const { choices, factors, visits, blocks, random, allowed } = this.#options
    const draw = (f: number) => choices[f]!.coarse[random.below(choices[f]!.coarse.length)] as number
    for (const [visit, members] of this.#members.entries()) {
      let done = false
      for (let attempt = 0; attempt < 200 && !done; attempt++) {
        const hard = factors.map((_, f) => draw(f))
        const drawn = members.map(() => {
          for (let again = 0; again < 50; again++) {
            const place = Float64Array.of(
              ...factors.map((factor, f) => (factor.hardToChange ? hard[f]! : draw(f))),
              partOf(visit, visits, blocks),
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

  climb(choices: readonly Float64Array[], over: () => boolean): void {
    const { factors } = this.#options
    for (let pass = 0; pass < mostPasses && !over(); pass++) {
      const before = this.score
      for (const [visit, members] of this.#members.entries())
        factors.forEach((factor, f) => {
          if (over()) return
          if (factor.hardToChange) this.#improve(visit, members, f, choices[f]!)
          else for (const i of members) this.#improve(visit, [i], f, choices[f]!)
        })
      this.#refresh()
      if (this.score < before + 1e-6) return
    }
  }

  /** Sets factor f of the given runs of a visit, all alike, to the best of its choices. */
  #improve(visit: number, moved: readonly number[], f: number, choices: Float64Array): void {
    const { allowed } = this.#options
    const terms = this.#terms
    const rows = this.#members[visit]!.map((i) => this.#rows[i]!)
    const ranks = moved.map((i) => this.#members[visit]!.indexOf(i))
    const movedPlaces = moved.map((i) => this.runs[i]!.place)
    const held = movedPlaces[0]![f]!
    let best = { at: held, score: this.score + 1e-9, part: this.#parts[visit]! }
    for (const at of choices) {
      if (at === held) continue
      for (const place of movedPlaces) place[f] = at
      if (allowed !== null && !movedPlaces.every(allowed)) continue
      movedPlaces.forEach((place, m) => {
        rows[ranks[m]!] = rowAt(terms, place)
      })
      const part = informationOf(rows, terms.length, this.#weightOf(rows.length))
      const score = this.#judge(visit, part)
      if (score > best.score) best = { at, score, part }
    }
    for (const place of movedPlaces) place[f] = best.at
    if (best.at === held) return
    for (const i of moved) this.#rows[i] = rowAt(terms, this.runs[i]!.place)
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
    const p = this.#terms.length
    this.#work.add(p ** 2 + (this.#moments === null ? 0.25 : 1) * p ** 3)
    for (let i = 0; i < p; i++) matrix[i + i * p]! += 1e-9 * this.runs.length
    if (this.#moments === null) return factorize(matrix, p)
    invert(matrix, this.#scratch, p)
    let trace = 0
    for (let e = 0; e < matrix.length; e++) trace += this.#scratch[e]! * this.#moments[e]!
    return -Math.log(trace)
  }

  #refresh(): void {
    const terms = this.#terms
    this.#rows = this.runs.map((run) => rowAt(terms, run.place))
    this.#parts = this.#members.map((members) =>
      informationOf(
        members.map((i) => this.#rows[i]!),
        terms.length,
        this.#weightOf(members.length),
      ),
    )
    this.#total = Float64Array.from(this.#fixed)
    for (const part of this.#parts) for (let e = 0; e < part.length; e++) this.#total[e]! += part[e]!
    this.score = this.#scoreOf(Float64Array.from(this.#total))
  }
}

function rowAt(terms: readonly DesignTerm[], place: Place): Float64Array {
  const row = new Float64Array(terms.length)
  for (let j = 0; j < row.length; j++) row[j] = termAt(terms[j]!, place)
  return row
}

/** Σ xx′ − weight·(Σx)(Σx)′ of rows, p × p; only the lower triangle is made. */
function informationOf(rows: readonly Float64Array[], p: number, weight: number): Float64Array {
  const matrix = new Float64Array(p * p)
  const sum = new Float64Array(p)
  for (const row of rows)
    for (let j = 0; j < p; j++) {
      const value = row[j]!
      sum[j]! += value
      if (value === 0) continue
      for (let i = j; i < p; i++) matrix[i + j * p]! += row[i]! * value
    }
  if (weight > 0)
    for (let j = 0; j < p; j++) for (let i = j; i < p; i++) matrix[i + j * p]! -= weight * sum[i]! * sum[j]!
  return matrix
}
