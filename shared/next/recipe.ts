import type { Recipe, RecipeAnswer } from '../contract/results/recipe.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { chanceToMissAt } from './chance.ts'
import type { Evenness, EvennessAt } from './evenness.ts'
import { chanceBelow, chanceInWords } from './reason.ts'
import { type Place, settingsAt } from './region.ts'
import { scopeWords } from './scope.ts'
import { type Scored, search } from './search.ts'
import { beyondTested } from './tested.ts'
import { edgeOf, movesFrom } from './window.ts'
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
  const holds = (place: Place) => (chances(place)?.both ?? 0) >= asked
  const { place } = flattest(work, bearingAStep(work, practicallyBest(found, asked), holds), options)
  const own = chances(place, true) as Chances
  const met = own.both >= asked
  const edge = met ? edgeOf(work, place, holds) : []
  return good({
    asked,
    met,
    recipe: recipeAt(work, place, own, { ...options, met, edge }),
    settings: { meet: found.filter(({ score }) => score >= asked).length, of: found.length },
    moves: met ? movesFrom(work, place, holds) : [],
    edge,
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

/** Practically the best chances; where the best is as asked, only such as are. */
function practicallyBest(found: readonly Scored[], asked: number): Scored[] {
  const best = found[0]?.score ?? 0
  const least = best - equalChance
  return found.filter(({ score }) => score >= (best >= asked ? Math.max(least, asked) : least))
}

/** Those of which a step of any setting still holds, since a tool is not set exactly; all where there are none. */
function bearingAStep(work: Work, equal: Scored[], holds: (place: Place) => boolean): Scored[] {
  const inner = equal.filter(({ place }) => holds(place) && edgeOf(work, place, holds).length === 0)
  return inner.length > 0 ? inner : equal
}

/** Of equal chances the flattest, of practically the flattest the cheapest. */
function flattest(work: Work, equal: readonly Scored[], { evenness }: RecipeOptions): Scored {
  const { axes } = work
  const medians = equal.map(({ place }) => evenness?.at(settingsAt(axes, place))?.median ?? 0)
  const least = Math.min(...medians)
  return cheapest(
    work,
    equal.filter((_, i) => (medians[i] as number) <= least * (1 + equalEvenness)),
  )
}

function recipeAt(
  work: Work,
  place: Place,
  own: Chances,
  options: RecipeOptions & { met: boolean; edge: readonly string[] },
): Recipe {
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
      `${even ? 'flattest, and of those the cheapest' : 'cheapest'}. ${stepWords(options)}The best of many candidates ` +
      'looks better than it is, so confirm it before it is used.',
  }
}

function stepWords({ met, edge }: { met: boolean; edge: readonly string[] }): string {
  if (!met) return ''
  if (edge.length === 0)
    return 'It bears one step of the tool either way in each setting: the asked chance is kept. '
  return (
    `No such setting bears one step of the tool either way in every setting: here ${edge.join(' and ')} ` +
    `${edge.length === 1 ? 'lies' : 'lie'} at the edge of what has the asked chance, or of the region. `
  )
}

function notMet({ both, thickness, evenness }: Chances, asked: number, { predictor }: Work): Problem {
  const parts =
    evenness === null ? '' : ` (thickness ${chanceInWords(thickness)}, evenness ${chanceInWords(evenness)})`
  return {
    code: 'chanceNotReached',
    message:
      `No setting of the region has the asked chance of ${chanceInWords(asked)} ${scopeWords[predictor.scope]}. The best ` +
      `has ${chanceBelow(both, asked)}${parts}.`,
  }
}
