import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { blockContrasts, partOf } from './block-contrasts.ts'
import type { Choices } from './coordinate-exchange.ts'
import { type DesignTerm, type Place, termAt } from './design-terms.ts'
import { dot, Information, middleOf } from './information.ts'
import { type Split, splitBy } from './row-products.ts'
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
  readonly #options: VisitExchangeOptions
  readonly #terms: readonly DesignTerm[]
  readonly #splits: Split[]
  readonly #members: number[][]
  readonly #information: Information
  readonly #fixed: Float64Array
  readonly #work: SearchWork
  /** The model's row of each run. */
  #rows: Float64Array[] = []
  /** What a change of the run goes with, kept until a run changes. */
  #partner: (Partner & { run: number }) | null = null

  constructor(options: VisitExchangeOptions, work: SearchWork) {
    const { runs, visits, blocks, factors, criterion } = options
    this.#work = work
    this.#options = options
    this.#terms = [...options.terms, ...blockContrasts(factors.length, blocks)]
    this.#splits = factors.map((_, f) => splitBy(this.#terms, f))
    this.#members = Array.from({ length: visits }, (_, v) =>
      Array.from({ length: runs }, (_, i) => i).filter((i) => partOf(i, runs, visits) === v),
    )
    this.#information = new Information(factors, this.#terms, criterion)
    const fixedRows = options.fixed.map((place) => this.#information.rowAt(place))
    this.#fixed = informationOf(fixedRows, this.#terms.length, 0)
  }

  /** Higher is better, for either criterion. */
  get score(): number {
    const { logDeterminant, trace } = this.#information
    return this.#options.criterion === 'D' ? logDeterminant : -Math.log(trace)
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
      for (const [visit, members] of this.#members.entries()) {
        factors.forEach((factor, f) => {
          if (factor.hardToChange && members.length > 1 && !over()) this.#improveVisit(visit, f, choices[f]!)
        })
        for (const i of members)
          factors.forEach((factor, f) => {
            if ((!factor.hardToChange || members.length === 1) && !over())
              this.#improveRun(visit, i, f, choices[f]!)
          })
      }
      this.#refresh()
      if (this.score < before + 1e-6) return
    }
  }

  /** Sets factor f of one run to the best of its choices. */
  #improveRun(visit: number, i: number, f: number, choices: Float64Array): void {
    const { allowed, criterion } = this.#options
    const { place } = this.runs[i]!
    const row = this.#rows[i]!
    const held = place[f]!
    const split = this.#splits[f]!
    const partner = this.#partnerOf(visit, i)
    let best: { at: number; merit: number; d: Float64Array | null } = { at: held, merit: 1e-9, d: null }
    for (const at of choices) {
      if (at === held) continue
      place[f] = at
      if (allowed !== null && !allowed(place)) continue
      const d = Float64Array.from(split.at, (j, a) => termAt(split.terms[a]!, place) - row[j]!)
      const merit = this.#meritOf(split, d, partner)
      if (merit > best.merit) best = { at, merit, d }
    }
    place[f] = best.at
    if (best.d === null) return
    const d = new Float64Array(row.length)
    split.at.forEach((j, a) => {
      d[j] = best.d![a]!
    })
    this.#information.bend(d, partner.z, partner.own)
    this.#rows[i] = this.#information.rowAt(place)
    this.#partner = null
    this.#work.add((criterion === 'D' ? 4 : 10) * row.length ** 2)
  }

  /**
   * By how much the score rises where a run's row changes by d: its visit's Σxx′ − w(Σx)(Σx)′ then changes by
   * d z′ + z d′ + (1 − w) d d′ with z = x − w·Σx.
   */
  #meritOf({ at }: Split, d: Float64Array, { own, image, heavy, zz, zzHeavy }: Partner): number {
    const { inverse, weighted, trace } = this.#information
    const p = this.#terms.length
    const square = (matrix: Float64Array) => {
      let sum = 0
      for (let a = 0; a < at.length; a++)
        for (let b = 0; b < at.length; b++) sum += d[a]! * d[b]! * matrix[at[a]! + at[b]! * p]!
      return sum
    }
    const along = (vector: Float64Array) => d.reduce((sum, value, a) => sum + value * vector[at[a]!]!, 0)
    this.#work.add((heavy === null ? 1 : 2) * at.length ** 2)
    const { ratio, a, b, c } = middleOf({ dd: square(inverse), dz: along(image), zz, own })
    if (!(ratio > 1e-12)) return Number.NEGATIVE_INFINITY
    if (heavy === null || weighted === null) return Math.log(ratio)
    const after = trace - (a * square(weighted) + 2 * b * along(heavy) + c * zzHeavy)
    return after > 0 ? Math.log(trace / after) : Number.NEGATIVE_INFINITY
  }

  #partnerOf(visit: number, i: number): Partner {
    if (this.#partner?.run === i) return this.#partner
    const members = this.#members[visit]!
    const weight = this.#weightOf(members.length)
    const z = Float64Array.from(this.#rows[i]!)
    for (const m of members) for (let j = 0; j < z.length; j++) z[j]! -= weight * this.#rows[m]![j]!
    const { inverse, weighted } = this.#information
    const image = this.#information.times(inverse, z)
    const heavy = weighted === null ? null : this.#information.times(weighted, z)
    const zzHeavy = heavy === null ? 0 : dot(z, heavy)
    this.#work.add((heavy === null ? 1 : 2) * z.length ** 2)
    this.#partner = { run: i, own: 1 - weight, z, image, heavy, zz: dot(z, image), zzHeavy }
    return this.#partner
  }

  /** Sets a hard factor of all runs of a visit to the best of its choices. */
  #improveVisit(visit: number, f: number, choices: Float64Array): void {
    const { allowed } = this.#options
    const members = this.#members[visit]!
    const places = members.map((i) => this.runs[i]!.place)
    const held = places[0]![f]!
    const others = this.#informationWithout(visit)
    let best = { at: held, score: this.score + 1e-9 }
    for (const at of choices) {
      if (at === held) continue
      for (const place of places) place[f] = at
      if (allowed !== null && !places.every(allowed)) continue
      const score = this.#scoreOf(this.#withVisit(others, members))
      if (score > best.score) best = { at, score }
    }
    for (const place of places) place[f] = best.at
    if (best.at !== held) this.#refresh()
  }

  /** V⁻¹ of a visit of m runs is I − w·11′ with w = ratio/(1 + m·ratio). */
  #weightOf(runs: number): number {
    const { varianceRatio } = this.#options
    return varianceRatio / (1 + runs * varianceRatio)
  }

  /** The information of all visits but one, of none where there is none such. */
  #informationWithout(visit: number): Float64Array {
    return this.#members.reduce(
      (sum, members, v) => (v === visit ? sum : this.#withVisit(sum, members)),
      this.#fixed,
    )
  }

  /** An information and that of a visit at its places. */
  #withVisit(information: Float64Array, members: readonly number[]): Float64Array {
    const p = this.#terms.length
    const rows = members.map((i) => this.#information.rowAt(this.runs[i]!.place))
    const part = informationOf(rows, p, this.#weightOf(rows.length))
    this.#work.add((rows.length * p ** 2) / 2)
    return part.map((value, e) => value + information[e]!)
  }

  #scoreOf(matrix: Float64Array): number {
    const p = this.#terms.length
    this.#work.add((this.#options.criterion === 'D' ? 0.25 : 2) * p ** 3)
    return this.#information.scoreOf(matrix, this.runs.length)
  }

  #refresh(): void {
    const p = this.#terms.length
    this.#rows = this.runs.map((run) => this.#information.rowAt(run.place))
    this.#information.setMatrix(this.#informationWithout(-1), this.runs.length)
    this.#partner = null
    this.#work.add((this.#options.criterion === 'D' ? 1 : 3) * p ** 3)
  }
}

/** What a run's change goes with: z and its products, and what the run's own change counts. */
type Partner = {
  z: Float64Array
  own: number
  /** z times the inverse information and its weighted form, and the products of z with these. */
  image: Float64Array
  heavy: Float64Array | null
  zz: number
  zzHeavy: number
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
