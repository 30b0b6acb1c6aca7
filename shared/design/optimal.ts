import type { DesignSettings, Factor, Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Random } from '../random.ts'
import { inBlock } from './block-contrasts.ts'
import { partsOfGuests } from './centre-points.ts'
import { fromCoded, gridOf, roundToStep, settle, stepsWithin, toCoded } from './code.ts'
import { type Choices, exchangeCoordinates } from './coordinate-exchange.ts'
import type { DesignPoint } from './design-point.ts'
import type { DesignTerm, Place } from './design-terms.ts'
import type { DrawnDesign } from './drawn-design.ts'
import { type Forbidden, nothingForbidden } from './forbid.ts'
import { exchangeInVisits } from './visit-exchange.ts'

/** Values of a factor that every start tries; a finer search follows. */
const coarseValues = 21

/**
 * A design made for a model: the runs that narrow its coefficients (D) or its predictions over the region (I)
 * most, found by coordinate exchange from many seeded starts. Factors with a step take only its settings;
 * factors that are hard to change take only the levels of their grid. With a number of visits the design is a
 * split plot made for the stated variance between them. Blocks are part of the search: their shifts are told
 * apart from the model's terms, and every visit lies in one block. Several replicates are made without blocks,
 * since each is then a block's or shared out over the blocks afterwards.
 *
 * @param options.kept runs already made, which count to the first block
 * @param options.centres centre points, which are spread over the blocks
 */
export function optimal(options: {
  factors: readonly Factor[]
  settings: DesignSettings
  terms: readonly DesignTerm[]
  kept: readonly Place[]
  centres: readonly Place[]
  forbidden: Forbidden
  random: Random
}): Answer<DrawnDesign> {
  const { factors, settings, terms, kept, centres, forbidden, random } = options
  const blocks = settings.replicates > 1 ? 1 : settings.blocks
  const there = kept.length + centres.length
  const runs = runsOf(settings, terms, there)
  if (runs + there < terms.length + blocks - 1)
    return refuse('tooFewRuns', fewRunsWords(terms.length, blocks, runs + there), { column: 'runs' })
  const blockOfCentre = partsOfGuests(centres.length, blocks)
  const fixed = [
    ...kept.map((place) => inBlock(place, 0)),
    ...centres.map((place, c) => inBlock(place, blockOfCentre[c] as number)),
  ]
  const criterion = settings.criterion ?? 'D'
  const choices = factors.map((factor) => choicesOf(factor, forbidden.limits[factor.name] ?? []))
  const allowed =
    forbidden === nothingForbidden ? null : (place: Place) => !forbidden.forbids(settingsAt(factors, place))
  const search = { factors, terms, criterion, runs, blocks, fixed, choices, allowed, random }
  const starts = startsFor(runs, factors.length, terms.length + blocks - 1)
  const { visits, varianceRatio = 1 } = settings
  let made = 0
  let chosen: { place: Place; visit?: number }[] | null
  if (visits !== undefined && factors.some((factor) => factor.hardToChange)) {
    const wrong = checkVisits(settings, visits, runs)
    if (wrong !== null) return wrong
    const found = exchangeInVisits({
      ...search,
      visits,
      varianceRatio,
      starts: Math.ceil(starts / 2),
      work: mostWork / (2 * numbersCompared(terms.length)),
    })
    made = found?.starts ?? 0
    chosen = found?.runs ?? null
  } else {
    const found = exchangeCoordinates({ ...search, starts, work: mostWork })
    made = found?.starts ?? 0
    chosen = found?.places.map((place) => ({ place })) ?? null
  }
  if (chosen === null)
    return refuse('nothingLeft', 'The combinations to leave out leave nothing to run, or next to nothing.', {
      column: 'forbid',
    })
  const points = chosen.map(({ place, visit }) => pointAt(factors, place, visit, settings.replicates === 1))
  const aim = criterion === 'D' ? 'the coefficients of the model' : 'the predictions over the region'
  const usual = chosen[0]?.visit === undefined ? usualStarts : usualStarts / 2
  const fewStarts = made < usual ? ` from ${made} ${made === 1 ? 'start' : 'starts'} instead of ${usual}` : ''
  const inBlocks = blocks === 1 ? '' : ` beside the shifts of ${blocks} blocks`
  const inVisits =
    chosen[0]?.visit === undefined
      ? ''
      : ` for ${visits} visits, the variance between them taken as ${varianceRatio} times that between runs`
  return good({
    size: runs,
    points: () => points,
    words:
      `The ${runs} runs that narrow ${aim} most${inBlocks}${inVisits} ` +
      `(${criterion}-optimal, by a seeded search${fewStarts}).`,
  })
}

function fewRunsWords(terms: number, blocks: number, runs: number): string {
  const needs =
    blocks === 1
      ? `The model has ${terms} terms and needs at least as many runs`
      : `The model has ${terms} terms and ${blocks} blocks take ${blocks - 1} more, which needs at least ` +
        `${terms + blocks - 1} runs`
  const fewer = blocks === 1 ? 'a smaller model' : 'fewer blocks or a smaller model'
  return `${needs}; there are ${runs}. Plan more runs, or ${fewer}.`
}

/**
 * How many runs an optimal design has: unless stated four more than terms and further blocks, runs that are there
 * anyway among them.
 */
export function runsOf(settings: DesignSettings, terms: readonly DesignTerm[], fixed: number): number {
  return settings.runs ?? Math.max(1, terms.length + settings.blocks - 1 + 4 - fixed)
}

function checkVisits(settings: DesignSettings, visits: number, runs: number) {
  if (settings.replicates > 1)
    return refuse('visitsAlone', 'An optimal plan with a number of visits has one replicate.', {
      column: 'visits',
    })
  if (visits < settings.blocks)
    return refuse(
      'tooFewVisits',
      `Each visit lies in one block, so ${visits} ${visits === 1 ? 'visit does' : 'visits do'} not fill ` +
        `${settings.blocks} blocks. Take at least ${settings.blocks} visits, or fewer blocks.`,
      { column: 'visits' },
    )
  return visits <= runs
    ? null
    : refuse('tooManyVisits', `There are more visits (${visits}) than runs (${runs}) to make in them.`, {
        column: 'visits',
      })
}

function pointAt(
  factors: readonly Factor[],
  place: Place,
  visit: number | undefined,
  blocked: boolean,
): DesignPoint {
  const coded = factors.map((factor, f) =>
    factor.kind === 'categorical' ? (factor.levelNames[place[f]!] as string) : place[f]!,
  )
  return {
    kind: 'optimal',
    coded,
    ...(visit === undefined ? {} : { visit }),
    ...(blocked ? { block: (place[factors.length] as number) + 1 } : {}),
  }
}

/** Starts of a search that is no large one. */
const usualStarts = 40
/** Numbers of visits that are compared at most, where their number is left open: three for very large models. */
export function numbersCompared(terms: number): number {
  return terms <= 80 ? 7 : 3
}

/** Most multiplications of a search; those for numbers of visits share half of them, as each plan is judged too. */
export const mostWork = 4e9

/** More starts for small problems, fewer for large, so that the search stays short. */
function startsFor(runs: number, factors: number, terms: number): number {
  return Math.min(usualStarts, Math.max(2, Math.round(1.2e6 / (runs * factors * terms ** 2))))
}

function choicesOf(factor: Factor, limits: readonly number[]): Choices {
  const whole = (values: Iterable<number>): Float64Array => Float64Array.from(new Set(values))
  if (factor.kind === 'categorical') {
    const levels = whole(factor.levelNames.keys())
    return { coarse: levels, fine: levels, free: false }
  }
  const settled = (coded: number) => settle(factor, coded).coded as number
  if (factor.hardToChange) {
    const grid = whole(gridOf(factor).map((coded) => settled(coded as number)))
    return { coarse: grid, fine: grid, free: false }
  }
  // An edge of what is left out is a likely place for a run, and the settings beside it where there is a step.
  const edges = limits
    .flatMap((limit) => [limit - (factor.step ?? 0), limit, limit + (factor.step ?? 0)])
    .filter((value) => value >= (factor.low as number) && value <= (factor.high as number))
    .map((value) => toCoded(factor, roundToStep(factor, value)))
  const coarse = whole([
    ...Array.from({ length: coarseValues }, (_, i) => settled((2 * i) / (coarseValues - 1) - 1)),
    ...edges,
  ])
  if (factor.step === null) return { coarse, fine: coarse, free: true }
  const low = factor.low as number
  const steps = stepsWithin(factor)
  const fine =
    steps > 2000
      ? coarse
      : whole(
          Array.from({ length: steps + 1 }, (_, i) =>
            toCoded(factor, roundToStep(factor, low + i * (factor.step as number))),
          ),
        )
  return { coarse, fine, free: false }
}

function settingsAt(factors: readonly Factor[], place: Place): Settings {
  return Object.fromEntries(
    factors.map((factor, f) => [
      factor.name,
      factor.kind === 'categorical'
        ? (factor.levelNames[place[f]!] as string)
        : roundToStep(factor, fromCoded(factor, place[f]!)),
    ]),
  )
}
