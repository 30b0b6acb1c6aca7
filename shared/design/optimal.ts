import type { DesignSettings, Factor, Settings } from '../contract/things.ts'
import { type Answer, good, refuse } from '../problem.ts'
import type { Random } from '../random.ts'
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
 * split plot made for the stated variance between them.
 *
 * @param options.fixed runs that are there anyway: already made, and centre points
 */
export function optimal(options: {
  factors: readonly Factor[]
  settings: DesignSettings
  terms: readonly DesignTerm[]
  fixed: readonly Place[]
  forbidden: Forbidden
  random: Random
}): Answer<DrawnDesign> {
  const { factors, settings, terms, fixed, forbidden, random } = options
  const runs = runsOf(settings, terms, fixed.length)
  if (runs + fixed.length < terms.length)
    return refuse(
      'tooFewRuns',
      `The model has ${terms.length} terms and needs at least as many runs; there are ${runs + fixed.length}. ` +
        'Plan more runs or a smaller model.',
      { column: 'runs' },
    )
  const criterion = settings.criterion ?? 'D'
  const choices = factors.map((factor) => choicesOf(factor, forbidden.limits[factor.name] ?? []))
  const allowed =
    forbidden === nothingForbidden ? null : (place: Place) => !forbidden.forbids(settingsAt(factors, place))
  const search = { factors, terms, criterion, runs, fixed, choices, allowed, random }
  const starts = startsFor(runs, factors.length, terms.length)
  const { visits, varianceRatio = 1 } = settings
  let chosen: { place: Place; visit?: number }[] | null
  if (visits !== undefined && factors.some((factor) => factor.hardToChange)) {
    const wrong = checkVisits(settings, visits, runs)
    if (wrong !== null) return wrong
    chosen = exchangeInVisits({ ...search, visits, varianceRatio, starts: Math.ceil(starts / 2) })
  } else chosen = exchangeCoordinates({ ...search, starts })?.map((place) => ({ place })) ?? null
  if (chosen === null)
    return refuse('nothingLeft', 'The combinations to leave out leave nothing to run, or next to nothing.', {
      column: 'forbid',
    })
  const points = chosen.map(({ place, visit }) => pointAt(factors, place, visit))
  const aim = criterion === 'D' ? 'the coefficients of the model' : 'the predictions over the region'
  const inVisits =
    chosen[0]?.visit === undefined
      ? ''
      : ` for ${visits} visits, the variance between them taken as ${varianceRatio} times that between runs`
  return good({
    size: runs,
    points: () => points,
    words: `The ${runs} runs that narrow ${aim} most${inVisits} (${criterion}-optimal, by a seeded search).`,
  })
}

/** How many runs an optimal design has: four more than terms unless stated, runs that are there anyway among them. */
export function runsOf(settings: DesignSettings, terms: readonly DesignTerm[], fixed: number): number {
  return settings.runs ?? Math.max(1, terms.length + 4 - fixed)
}

function checkVisits(settings: DesignSettings, visits: number, runs: number) {
  if (settings.blocks > 1 || settings.replicates > 1)
    return refuse('visitsAlone', 'An optimal plan with a number of visits has one block and one replicate.', {
      column: 'visits',
    })
  return visits <= runs
    ? null
    : refuse('tooManyVisits', `There are more visits (${visits}) than runs (${runs}) to make in them.`, {
        column: 'visits',
      })
}

function pointAt(factors: readonly Factor[], place: Place, visit: number | undefined): DesignPoint {
  const coded = factors.map((factor, f) =>
    factor.kind === 'categorical' ? (factor.levelNames[place[f]!] as string) : place[f]!,
  )
  return visit === undefined ? { kind: 'optimal', coded } : { kind: 'optimal', coded, visit }
}

/** More starts for small problems, fewer for large, so that the search stays short. */
function startsFor(runs: number, factors: number, terms: number): number {
  return Math.min(40, Math.max(2, Math.round(1.2e6 / (runs * factors * terms ** 2))))
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
