import { plainNumber } from '../charts/format.ts'
import type { PredictionResult } from '../contract/results/fit.ts'
import type { Choice } from '../contract/results/next.ts'
import type { Factor, Settings } from '../contract/things.ts'
import { thickness } from '../film/reading-stage.ts'
import { type Answer, good } from '../problem.ts'
import { type Tell, untold } from '../progress.ts'
import { fromNanometres, type ThicknessUnit } from '../units.ts'
import { chanceToMissBy } from './chance.ts'
import {
  errorsOf,
  goalOnScale,
  type Outlook,
  type Predictor,
  predictorOf,
  type Searchable,
} from './predictor.ts'
import { errorInWords, figure } from './reason.ts'
import { type Axis, axesOf, type Place, settingsAt, testedMarks } from './region.ts'
import { type RegionAverage, regionAverage } from './region-average.ts'
import { regionFor } from './region-for.ts'
import { apartFrom, type Grid, gridOf, type Scored } from './search.ts'
import { beyondTested, distanceToTested } from './tested.ts'

export type Aim = Choice['aim']

export type RecommendOptions = {
  model: Searchable
  /** Where to look: ranges or levels of the factors, with what the tools can be set to. */
  region: readonly Factor[]
  /** Target and tolerance of the response, in its own unit. */
  target: number
  tolerance: number
  /** What the run should be good for; all three unless given. */
  aims?: readonly Aim[]
  /** Choices an aim, at most; 1 unless given. */
  count?: number
  seed?: number
  /** Settings of the runs that the model was fitted to. */
  tested: readonly Settings[]
  costOf(settings: Settings): Choice['cost']
  /** In which a thickness in nm is told; nm unless given. */
  thicknessUnit?: ThicknessUnit
  /** Hears how far the search has come. */
  tell?: Tell
}

/** What is kept of the outlook at a place: a search asks at thousands. */
export type PlaceOutlook = Omit<Outlook, 'whitened'>

/** What every aim works with: the model as the search asks it, the axes to walk along, the goal on the model's scale. */
export type Work = {
  model: Searchable
  predictor: Predictor
  axes: readonly Axis[]
  goal: { target: number; low: number; high: number }
  /** Where searches begin; tested settings stand on it where they are few, since the tools were set to them before. */
  grid: Grid
  options: RecommendOptions
  tell: Tell
  /** Null where no prediction can be given. A place that is asked for again is known. */
  at(place: Place): PlaceOutlook | null
  /** How well the mean is known over the region; worked out when first asked for. */
  average(): RegionAverage
}

/**
 * What every aim works with, looked up once.
 *
 * @returns problems where the model cannot predict, the region does not suit it, or the target has no value on its scale
 */
export function workFor(options: RecommendOptions): Answer<Work> {
  const { model, target, tolerance } = options
  const predictor = predictorOf(model)
  if (!predictor.ok) return predictor
  const region = regionFor(options.region, predictor.value, options.tested)
  if (!region.ok) return region
  const goal = goalOnScale(predictor.value.scale, target, tolerance)
  if (!goal.ok) return goal
  const axes = axesOf(region.value)
  const known = new Map<Place, PlaceOutlook | null>()
  const at = (place: Place): PlaceOutlook | null => {
    const before = known.get(place)
    if (before !== undefined) return before
    const found = predictor.value.at(settingsAt(axes, place))
    const outlook = found && { mean: found.mean, variance: found.variance, df: found.df }
    known.set(place, outlook)
    return outlook
  }
  const grid = gridOf({ axes, seed: options.seed ?? 1, marks: testedMarks(axes, options.tested) })
  let averaged: RegionAverage | null = null
  const average = () => {
    averaged ??= regionAverage({ predictor: predictor.value, axes, seed: options.seed ?? 1 })
    return averaged
  }
  const { tell = untold } = options
  return good({ model, predictor: predictor.value, axes, goal: goal.value, grid, options, tell, at, average })
}

/** Choices of one aim lie at least this far apart, as a share of the region. */
const choicesApart = 0.1

/** Reductions and improvements that differ by less than this share are practically equal. */
export const practically = 0.02

/** The first and the best others that lie apart from it, as many as are asked for. */
export function pick({ axes, options }: Work, best: Scored[]): Scored[] {
  return apartFrom(axes, best, options.count ?? 1, choicesApart)
}

/** The place without a change of the plate, then of the fewest minutes, then nearest to a tested setting. */
export function cheapest({ axes, options }: Work, equal: readonly Scored[]): Scored {
  let least = equal
  for (const of of [
    (settings: Settings) => Number(options.costOf(settings).plateChange),
    (settings: Settings) => options.costOf(settings).minutes,
    (settings: Settings) => distanceToTested(axes, settings, options.tested),
  ]) {
    const values = least.map(({ place }) => of(settingsAt(axes, place)))
    const smallest = values.reduce((a, b) => Math.min(a, b))
    least = least.filter((_, i) => values[i] === smallest)
  }
  return least[0] as Scored
}

/** A place as a choice: what is predicted there, what it costs, and why it is chosen. */
export function describe(work: Work, place: Place, aim: Aim, reasonOf: (choice: Choice) => string): Choice {
  const { model, predictor, axes, goal, options, at } = work
  const settings = settingsAt(axes, place)
  const predictions = model.predict([settings])
  const here = predictions.find(({ scope }) => scope === 'sameSession') ?? null
  const elsewhere = predictions.find(({ scope }) => scope === 'otherSession') ?? null
  const main = elsewhere ?? here
  if (main === null) throw new Error('no prediction at a setting that was searched')
  const chance = (prediction: PredictionResult | null) =>
    prediction && 1 - chanceToMissBy(prediction, { ...goal, scale: predictor.scale, level: model.level })
  const outlook = at(place) as PlaceOutlook
  const beyond = beyondTested({ axes, predictor, tested: options.tested, settings, outlook })
  const choice: Choice = {
    settings,
    aim,
    scope: main.scope,
    estimate: main.estimate,
    standardErrorOfMean: main.standardErrorOfMean,
    present: here && elsewhere && presentOf(here),
    prediction: { sameSession: here?.prediction ?? null, otherSession: elsewhere?.prediction ?? null },
    chanceInTolerance: { sameSession: chance(here), otherSession: chance(elsewhere) },
    errors: errorsOf(predictor, outlook),
    varianceSource: main.varianceSource,
    known: knownAfter(work, settings),
    extrapolates: beyond !== null,
    reason: '',
    cost: options.costOf(settings),
  }
  const reason = reasonOf(choice)
  return { ...choice, reason: beyond === null ? reason : `${reason} Beyond the tested region: ${beyond}.` }
}

const presentOf = ({ session, estimate, standardErrorOfMean }: PredictionResult) => ({
  session: session ?? null,
  estimate,
  standardErrorOfMean,
})

/** The average standard error of the mean over the region, now and after a run in the present session. */
function knownAfter(work: Work, settings: Settings): Choice['known'] {
  const run = work.predictor.here(settings)
  const { variance, reduction } = work.average()
  const words = averageInWords(work)
  return { before: words(variance), after: words(variance - (run === null ? 0 : reduction(run))) }
}

/** A variance of the mean as its standard error, in words. */
export const averageInWords =
  ({ predictor, model }: Work) =>
  (variance: number) =>
    errorInWords(predictor.scale, Math.sqrt(Math.max(variance, 0)), model.unitOf(model.responseName))

/** Values of the response in words, to the digits that an uncertainty allows. */
export function responseInWords({
  model,
  thicknessUnit = 'nm',
}: Pick<RecommendOptions, 'model' | 'thicknessUnit'>) {
  const own = model.unitOf(model.responseName)
  const isFilm = model.responseName === thickness && own === 'nm'
  const told = (value: number) => (isFilm ? fromNanometres(value, thicknessUnit) : value)
  const unit = isFilm ? thicknessUnit : own
  const after = unit === '' ? '' : ` ${unit}`
  return {
    /** The unit, with a space before it. */
    after,
    about: (value: number, uncertainty: number) => figure(told(value), told(uncertainty)),
    /** A range as it was asked for. */
    within: (middle: number, half: number) =>
      `${plainNumber(told(middle), 6)} ± ${plainNumber(told(half), 6)}${after}`,
  }
}

/** Settings in a sentence. */
export function inWords(settings: Settings): string {
  return Object.entries(settings)
    .map(([name, value]) => `${name} ${value}`)
    .join(', ')
}
