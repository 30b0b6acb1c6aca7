import type { Recipe, RecipeAnswer } from '../contract/results/recipe.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { chanceToMissAt } from './chance.ts'
import type { Evenness, EvennessAt } from './evenness.ts'
import { chanceInWords } from './reason.ts'
import { type Axis, type Place, settingsAt } from './region.ts'
import { scopeWords } from './scope.ts'
import { type Scored, search } from './search.ts'
import { beyondTested } from './tested.ts'
import { cheapest, type PlaceOutlook, type RecommendOptions, type Work, workFor } from './work.ts'

export type RecipeOptions = Omit<RecommendOptions, 'aims' | 'count'> & {
  /** The chance that a wafer is to have, such as 0.9. */
  asked: number
  /** How even films are at a setting; null where no limit is set or nothing is known of their shape. */
  evenness: EvennessAt | null
}

/** Below this chance in thickness nobody asks how even the film is: a search need not work it out. */
export const worthwhile = 0.2
/** Chances that differ by less are practically equal. */
const equalChance = 0.01
/** Non-uniformities that differ by less than this share of the smallest are practically equal. */
const equalEvenness = 0.05

/**
 * The setting to take as recipe: of those whose chance to be in tolerance, in thickness and in evenness, is practically
 * the best, the flattest, and among those the cheapest; with what each factor alone may move before the asked chance is
 * lost. The two chances are multiplied: how thick and how even a wafer is are taken as independent.
 *
 * @returns problems where the model cannot predict in the region
 */
export function findRecipe(options: RecipeOptions): Answer<RecipeAnswer> {
  const { asked } = options
  const prepared = workFor(options)
  if (!prepared.ok) return prepared
  const work = prepared.value
  const chances = chancesOf(work, options)
  const found = search({
    ...work,
    score(place) {
      const own = chances(place)
      if (own === null) return Number.NEGATIVE_INFINITY
      if (own.whole) return own.both
      // What is not worked out lies below all that is: by its chance in thickness, and where every such chance is 0 to
      // the last digit, by its distance.
      const { mean } = work.at(place) as PlaceOutlook
      return own.thickness > 1e-4 ? own.thickness - 1 : -1 - Math.abs(mean - work.goal.target)
    },
    bound: (place) => {
      const outlook = work.at(place)
      return outlook === null ? Number.NEGATIVE_INFINITY : thicknessChance(work, outlook)
    },
  }).filter(({ score }) => score > Number.NEGATIVE_INFINITY)
  const best = found[0]
  if (best === undefined)
    return { ok: false, problems: work.model.cannotPredict([settingsAt(work.axes, [])]) }
  const recommended = flattest(work, found, options)
  const own = chances(recommended.place, true) as Chances
  const met = own.both >= asked
  return good({
    asked,
    met,
    recipe: recipeAt(work, recommended.place, own, options),
    settings: { meet: found.filter(({ score }) => score >= asked).length, of: found.length },
    moves: met ? movesFrom(work, recommended.place, (place) => (chances(place)?.both ?? 0) >= asked) : [],
    problems: met ? [] : [notMet(own, asked, work)],
  })
}

type Chances = {
  thickness: number
  evenness: number | null
  both: number
  /** Whether the evenness is worked out, as far as it can be. */
  whole: boolean
}

/** The chance to be in tolerance in thickness alone. */
const thicknessChance = ({ goal, predictor: { noise } }: Work, outlook: PlaceOutlook): number =>
  1 - chanceToMissAt(outlook, { ...goal, noise })

/** The chances at each place, worked out once; how even the film is only where the thickness is worth it, or if `wanted`. */
function chancesOf(work: Work, { evenness }: RecipeOptions) {
  const { at, axes } = work
  const known = new Map<Place, Chances | null>()
  return (place: Place, wanted = false): Chances | null => {
    const before = known.get(place)
    if (before !== undefined && (before === null || before.whole || !wanted)) return before
    const outlook = at(place)
    const answer = outlook && chancesAt(outlook, place, wanted)
    known.set(place, answer)
    return answer
  }
  function chancesAt(outlook: PlaceOutlook, place: Place, wanted: boolean): Chances {
    const thickness = thicknessChance(work, outlook)
    const whole = wanted || thickness >= worthwhile
    const inLimit = whole && evenness ? evenness.chance(settingsAt(axes, place)) : null
    return { thickness, evenness: inLimit, both: thickness * (inLimit ?? 1), whole }
  }
}

/** Of practically the best chances the flattest, of practically the flattest the cheapest. */
function flattest(work: Work, found: readonly Scored[], { evenness }: RecipeOptions): Scored {
  const { axes } = work
  const best = found[0] as Scored
  const equal = found.filter(({ score }) => score >= best.score - equalChance)
  const medians = equal.map(({ place }) => evenness?.at(settingsAt(axes, place))?.median ?? 0)
  const least = Math.min(...medians)
  return cheapest(
    work,
    equal.filter((_, i) => (medians[i] as number) <= least * (1 + equalEvenness)),
  )
}

function recipeAt(work: Work, place: Place, own: Chances, options: RecipeOptions): Recipe {
  const { thickness, evenness, both } = own
  const { model, predictor, axes } = work
  const settings = settingsAt(axes, place)
  const prediction = model.predict([settings]).find(({ scope }) => scope === predictor.scope)
  if (prediction === undefined) throw new Error('no prediction at a setting that was searched')
  const outlook = work.at(place) as PlaceOutlook
  const even: Evenness | null = options.evenness?.at(settings) ?? null
  return {
    settings,
    scope: predictor.scope,
    estimate: prediction.estimate,
    confidence: prediction.confidence,
    prediction: prediction.prediction,
    chance: { thickness, evenness, both },
    evenness: even,
    varianceSource: prediction.varianceSource,
    extrapolates: beyondTested({ axes, predictor, tested: options.tested, settings, outlook }),
    cost: options.costOf(settings),
    reason:
      `Of the settings with practically the best chance (${chanceInWords(both)} ${scopeWords[predictor.scope]}) the ` +
      `${even ? 'flattest, and of those the cheapest' : 'cheapest'}. The best of many candidates looks better than it ` +
      'is, so confirm it before it is used.',
  }
}

/** How far each factor of numbers may go from the place, the others staying, while the place still holds. */
function movesFrom(
  { axes, options }: Work,
  place: Place,
  holds: (place: Place) => boolean,
): RecipeAnswer['moves'] {
  return axes.flatMap((axis, i) => {
    if (axis.factor.kind === 'categorical' || axis.size < 2) return []
    const here = place[i] as number
    const at = (index: number) => holds(place.map((value, k) => (k === i ? index : value)))
    const end = (last: number) => numberAt(axis, lastHolding(here, last, at))
    const { unit = '' } = options.region.find(({ name }) => name === axis.name) ?? {}
    const last = axis.size - 1
    const region = [axis.setting(0) as number, axis.setting(last) as number] as [number, number]
    return [
      { factor: axis.name, unit, at: axis.setting(here) as number, lower: end(0), upper: end(last), region },
    ]
  })
}

const numberAt = (axis: Axis, index: number | null) =>
  index === null ? null : (axis.setting(index) as number)

/** The last index from `here` towards `last` at which it holds, what holds lying together; null: it holds to the end. */
function lastHolding(here: number, last: number, holds: (index: number) => boolean): number | null {
  const direction = Math.sign(last - here)
  let [inside, stride] = [here, 1]
  // Doubling strides until it fails, then halving back.
  for (;;) {
    if (inside === last) return null
    const next = direction > 0 ? Math.min(last, inside + stride) : Math.max(last, inside - stride)
    if (!holds(next)) {
      let outside = next
      while (Math.abs(outside - inside) > 1) {
        const middle = Math.trunc((inside + outside) / 2)
        if (holds(middle)) inside = middle
        else outside = middle
      }
      return inside
    }
    inside = next
    stride *= 2
  }
}

function notMet({ both, thickness, evenness }: Chances, asked: number, { predictor }: Work): Problem {
  const parts =
    evenness === null ? '' : ` (thickness ${chanceInWords(thickness)}, evenness ${chanceInWords(evenness)})`
  return {
    code: 'chanceNotReached',
    message:
      `No setting of the region has the asked chance of ${chanceInWords(asked)} ${scopeWords[predictor.scope]}. The best ` +
      `has ${chanceInWords(both)}${parts}.`,
  }
}
