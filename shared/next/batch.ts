import type { Batch, Choice } from '../contract/results/next.ts'
import type { Settings } from '../contract/things.ts'
import { type Answer, good, type Problem } from '../problem.ts'
import { knowledgeOf } from './knowledge.ts'
import { plateOrder } from './plate-order.ts'
import type { NewRun } from './predictor.ts'
import { reach } from './reach.ts'
import { type Place, settingsAt } from './region.ts'
import { search } from './search.ts'
import {
  averageInWords,
  cheapest,
  describe,
  practically,
  type RecommendOptions,
  type Work,
  workFor,
} from './work.ts'

export type BatchOptions = Omit<RecommendOptions, 'aims' | 'count' | 'costOf'> & {
  aim: 'learn' | 'reach'
  count: number
  /** What is left of the slot; null: as long as it takes. */
  minutesLeft: number | null
  /** What a run costs after one with such settings; without them, after the last run made. */
  costAfter(last?: Settings): (settings: Settings) => Choice['cost']
  /** Setting of the hot plate that a run needs, and what it is at now. */
  plateOf(settings: Settings): number
  plateNow: number
}

/**
 * Runs to be made together in the session of the last one: to learn, one after another that takes most from what is
 * still unknown after those before it; to reach the target, the likeliest that lie apart. They are ordered by plate
 * temperature with the fewest changes. As many as fit what is left of the slot.
 */
export function findBatch(options: BatchOptions): Answer<Batch> {
  const { aim, count, minutesLeft } = options
  const prepared = workFor({ ...options, count, costOf: options.costAfter() })
  if (!prepared.ok) return prepared
  const work = prepared.value
  const found = aim === 'learn' ? learnTogether(work, options) : fitting(reach(work), options)
  const ordered = inOrder(found, options)
  const knowledge = knowledgeOf(work.average())
  const words = averageInWords(work)
  for (const { settings } of found) {
    const run = work.predictor.here(settings)
    if (run) knowledge.take(run, String(options.plateOf(settings)))
  }
  const problems: Problem[] = []
  if (found.length < count)
    problems.push({
      code: 'fewerRuns',
      message:
        minutesLeft === null
          ? `The region holds only ${found.length} such runs that lie apart.`
          : `${found.length} of ${count} runs fit in ${minutesLeft} minutes and lie apart.`,
    })
  return good({
    ...ordered,
    known: { before: words(work.average().variance), after: words(knowledge.variance()) },
    problems,
  })
}

/** In the order of making, with what it costs altogether. */
function inOrder<R extends { settings: Settings }>(
  found: readonly R[],
  { costAfter, plateOf, plateNow }: Pick<BatchOptions, 'costAfter' | 'plateOf' | 'plateNow'>,
): Omit<Batch, 'choices' | 'known' | 'problems'> & { choices: (R & Pick<Choice, 'cost'>)[] } {
  const plan = (sequence: readonly R[]) => {
    const choices = sequence.map((choice, i) => ({
      ...choice,
      cost: costAfter(sequence[i - 1]?.settings)(choice.settings),
    }))
    const sum = (of: (cost: Choice['cost']) => number) =>
      choices.reduce((total, { cost }) => total + of(cost), 0)
    return {
      choices,
      minutes: sum(({ minutes }) => minutes),
      resistMl: Number(sum(({ resistMl }) => resistMl).toPrecision(12)),
      plateChanges: sum(({ plateChange }) => Number(plateChange)),
    }
  }
  const plans = plateOrder(found, ({ settings }) => plateOf(settings), plateNow).map(plan)
  return plans.reduce((best, other) => (other.minutes < best.minutes ? other : best))
}

const fits = (choices: readonly { settings: Settings }[], options: BatchOptions) =>
  options.minutesLeft === null || inOrder(choices, options).minutes <= options.minutesLeft

/** The first of them that fit together. */
function fitting(choices: readonly Choice[], options: BatchOptions): Choice[] {
  const kept: Choice[] = []
  for (const choice of choices) if (fits([...kept, choice], options)) kept.push(choice)
  return kept
}

/** A run that a batch may hold. */
type Member = { place: Place; run: NewRun; plate: number; settings: Settings }

/** How often each run of a batch is looked at again, at most. */
const mostPasses = 3

/**
 * One after another the run that takes most from the average variance of the mean, given those before it; then each is
 * exchanged where, given all the others, another one takes more (V. V. Fedorov, Theory of Optimal Experiments, 1972).
 */
function learnTogether(work: Work, options: BatchOptions): Choice[] {
  const next = nextMember(work, options)
  const chosen: Member[] = []
  while (chosen.length < options.count) {
    work.tell('runs chosen', chosen.length, options.count)
    const found = next(chosen)
    if (found === null) break
    chosen.push(found)
  }
  const left = (members: readonly Member[]) => knowledgeAfter(work, members).variance()
  // The last one was chosen given all the others.
  let settled = 1
  for (let look = 0; settled < chosen.length && look < mostPasses * chosen.length; look++) {
    const i = look % chosen.length
    const others = chosen.filter((_, k) => k !== i)
    const other = next(others)
    if (other !== null && left([...others, other]) < left(chosen) * (1 - worthExchange)) {
      chosen[i] = other
      settled = 1
    } else settled++
  }
  const words = averageInWords(work)
  return chosen.map(({ place }, i) => {
    const after = words(left(chosen.slice(0, i + 1)))
    return describe(work, place, 'learn', () =>
      i === 0
        ? `Taken first: with it the average standard error of the mean over the region is ${after}.`
        : `With those before it the average standard error goes to ${after}.`,
    )
  })
}

/** A run is exchanged for this share of the variance, not for rounding. */
const worthExchange = 1e-6

function knowledgeAfter(work: Work, members: readonly Member[]) {
  const knowledge = knowledgeOf(work.average())
  for (const { run, plate } of members) knowledge.take(run, String(plate))
  return knowledge
}

/** Finds the run that practically takes most, given others of the batch, and among those spares the plate; null where none fits. */
function nextMember(work: Work, options: BatchOptions) {
  const { axes, predictor } = work
  const { plateOf, plateNow } = options
  const known = new Map<Place, Member | null>()
  const lookUp = (place: Place) => {
    const before = known.get(place)
    if (before !== undefined) return before
    const settings = settingsAt(axes, place)
    const run = predictor.here(settings)
    const answer = run && { place, run, plate: plateOf(settings), settings }
    known.set(place, answer)
    return answer
  }
  return (others: readonly Member[]): Member | null => {
    const knowledge = knowledgeAfter(work, others)
    const plates = new Map<number, boolean>()
    /** Whether a further run at this plate setting fits the slot. */
    const fitsAt = (plate: number, settings: Settings) => {
      const before = plates.get(plate)
      if (before !== undefined) return before
      const answer = fits([...others, { settings }], options)
      plates.set(plate, answer)
      return answer
    }
    const found = search({
      axes,
      grid: work.grid,
      score(place) {
        const here = lookUp(place)
        return here === null || !fitsAt(here.plate, here.settings)
          ? Number.NEGATIVE_INFINITY
          : knowledge.reduction(here.run, String(here.plate))
      },
    }).filter(({ score }) => score > Number.NEGATIVE_INFINITY)
    const best = found[0]
    if (best === undefined) return null
    const equal = found.filter(({ score }) => score >= best.score * (1 - practically))
    const settled = new Set([plateNow, ...others.map(({ plate }) => plate)])
    const spared = equal.filter(({ place }) => settled.has(lookUp(place)?.plate ?? Number.NaN))
    return lookUp(cheapest(work, spared.length > 0 ? spared : equal).place)
  }
}
