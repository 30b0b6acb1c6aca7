import type { Factor } from '../contract/things.ts'
import type { Random } from '../random.ts'
import { blockContrasts, partOf } from './block-contrasts.ts'
import type { DesignTerm, Place } from './design-terms.ts'
import { dot, Information } from './information.ts'
import { levelProducts, rangeProducts, type Split, splitBy } from './row-products.ts'
import { SearchWork } from './search-work.ts'

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
  /** Starts to make where the work allows for them. */
  starts: number
  /** Most work, in multiplications. */
  work: number
}

/** One start in so many, but no more than this, is finished on the fine choices. */
const finished = { oneIn: 5, most: 4 }
/** A change is made, and a pass repeated, for no less than this share of the criterion. */
const worthwhile = { coarse: { change: 1e-4, pass: 1e-3 }, fine: { change: 1e-8, pass: 1e-6 } }
/** Passes of one climb, which usually ends long before. */
const mostPasses = 100

/**
 * Chooses runs by coordinate exchange (Meyer & Nachtsheim, Technometrics 37 (1995) 60–69): from many random
 * starts, one factor of one run after another is set to the best of its choices until none improves. Blocks
 * have shifts of their own beside the model's terms (Cook & Nachtsheim, Technometrics 31 (1989) 339–346): as the
 * sizes of the blocks are settled, |X′X| with them is highest where that of the terms given the blocks is, and
 * predictions are those for the mean block.
 *
 * @returns the chosen places with their block, from 0, after their factors, and how many starts the work allowed;
 *   null where no allowed place was found
 */
export function exchangeCoordinates(options: ExchangeOptions): { places: Place[]; starts: number } | null {
  const searches: Search[] = []
  const work = new SearchWork(options.work)
  for (let start = 0; start < options.starts && work.mayStart; start++) {
    const search = new Search(options, work)
    if (!search.begin()) return null
    search.climb('coarse')
    searches.push(search)
  }
  const starts = searches.length
  searches.sort((a, b) => b.score() - a.score())
  const best = searches.slice(0, Math.min(finished.most, Math.ceil(searches.length / finished.oneIn)))
  for (const search of best) search.climb('fine')
  return { places: best.reduce((a, b) => (b.score() > a.score() + 1e-9 ? b : a)).places, starts }
}

/** What setting one factor of one run to a value would bring. */
type Line = {
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
  readonly #work: SearchWork
  #images: Images | null = null

  constructor(options: ExchangeOptions, work: SearchWork) {
    this.#work = work
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
    const { factors } = this.#options
    const over = () => (stage === 'coarse' ? this.#work.startsOver : this.#work.over)
    for (let pass = 0; pass < mostPasses && !over(); pass++) {
      const before = this.score()
      for (let i = 0; i < this.places.length && !over(); i++)
        for (let f = 0; f < factors.length; f++) this.#improve(i, f, stage)
      this.#refresh()
      if (this.score() < before + worthwhile[stage].pass) return
    }
  }

  #refresh(): void {
    this.#rows = this.places.map((place) => this.#information.rowAt(place))
    this.#information.set([...this.#fixedRows, ...this.#rows])
    this.#images = null
    const p = this.#terms.length
    this.#work.add(this.#rows.length * p ** 2 + (this.#options.criterion === 'D' ? 1 : 3) * p ** 3)
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
    place[f] = best.at
    const row = this.#information.rowAt(place)
    this.#information.exchange(this.#rows[i]!, row)
    this.#images = null
    this.#work.add((this.#options.criterion === 'D' ? 4 : 10) * row.length ** 2)
    this.#rows[i] = row
  }

  #along(i: number, f: number): Line {
    const { inverse, weighted } = this.#information
    const row = this.#rows[i]!
    const { u, heavy } = this.#imagesOf(i)
    const split = this.#splits[f]!
    const place = this.places[i]!
    this.#work.add((heavy === null ? 2 : 4) * split.at.length ** 2)
    const productsBy =
      this.#options.factors[f]!.kind === 'categorical'
        ? (matrix: Float64Array, image: Float64Array) =>
            levelProducts(split, { place, f, row, matrix, image })
        : (matrix: Float64Array, image: Float64Array) =>
            rangeProducts(split, { place, f, row, matrix, image })
    const light = productsBy(inverse, u)
    const stays = 1 - dot(row, u)
    const gain = (at: number) => (1 + light.to(at)) * stays + light.both(at) ** 2
    if (heavy === null || weighted === null) return { merit: (at) => gain(at) - 1 }
    const weighty = productsBy(weighted, heavy)
    const fromHeavy = dot(row, heavy)
    const { trace } = this.#information
    return {
      merit: (at) => {
        const ratio = gain(at)
        if (!(ratio > 1e-12)) return Number.NEGATIVE_INFINITY
        const change =
          (1 + light.to(at)) * fromHeavy - 2 * light.both(at) * weighty.both(at) - stays * weighty.to(at)
        const after = trace + change / ratio
        return after > 0 ? trace / after - 1 : Number.NEGATIVE_INFINITY
      },
    }
  }

  /** The run's row times (X′X)⁻¹ and its weighted form, kept until a run changes. */
  #imagesOf(i: number): Images {
    if (this.#images?.run === i) return this.#images
    const { inverse, weighted } = this.#information
    const row = this.#rows[i]!
    const u = this.#information.times(inverse, row)
    const heavy = weighted === null ? null : this.#information.times(weighted, row)
    this.#images = { run: i, u, heavy }
    this.#work.add((heavy === null ? 1 : 2) * row.length ** 2)
    return this.#images
  }
}

type Images = { run: number; u: Float64Array; heavy: Float64Array | null }

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
