import type { Replanned, Telling } from '../contract/results/replan.ts'
import type { DesignSettings, Factor, Run, Settings } from '../contract/things.ts'
import { quoted } from '../model/expression.ts'
import { type Answer, good, type Problem, refuse } from '../problem.ts'
import type { BenchFigures } from '../process/budget.ts'
import { type Random, seeded } from '../random.ts'
import { basisOf } from './basis.ts'
import { codeSettings, gridOf, rangeOf, settle } from './code.ts'
import { columnsOf, type DesignTerm, type Place, placeOf, usualTerms } from './design-terms.ts'
import { curvedIn } from './draw-design.ts'
import { estimable, firstEstimable, termGroups } from './estimable.ts'
import { type EvaluatedRun, evaluateDesign } from './evaluate.ts'
import { type Forbidden, parseForbidden } from './forbid.ts'
import { termsOfFormula } from './formula-terms.ts'
import { planWithoutWays } from './make-plan.ts'
import { replanWords } from './replan-words.ts'

export type ReplanOptions = {
  factors: readonly Factor[]
  /** The design of the plan, whose model and criterion go on to be used; null where there is none. */
  design: DesignSettings | null
  /** Settings that done runs really had, and which plate visit they belong to. */
  done: readonly Pick<Run, 'settings' | 'plateVisit'>[]
  /** Planned and not done, in run order. */
  planned: readonly Pick<Run, 'id' | 'code' | 'settings' | 'plateVisit'>[]
  /** Runs that were planned and cannot be had: dropped and failed. */
  lost: readonly Pick<Run, 'settings' | 'plateVisit'>[]
  /** What is left: a number of runs, or minutes at the bench. */
  left: { runs: number } | { minutes: number }
  /** °C at which the plate is stuck. */
  bakeOnly: number | null
  /** Combinations that can no longer be made. */
  forbid: string
  bench: BenchFigures
  seed: number
}

/** Degrees of freedom that are left to judge the error by, where the runs carry them (our own rule, no source). */
const enoughDf = 2

/**
 * Plans what is left of a broken plan anew: the runs done are kept, and the best further runs are chosen by the
 * criterion for so much of the plan's model as can still be estimated: terms that the settings left cannot tell go
 * first, then the last ones of the model until runs and model fit.
 *
 * @returns problems with code `noBake`, `bakeOutside`, `nothingFits`, or what the forbidden combinations or the model
 *   have wrong
 */
export function replan(options: ReplanOptions): Answer<Replanned> {
  const { factors, design, bakeOnly } = options
  const bake = factors.find(({ role, kind }) => role === 'bake temperature' && kind === 'continuous')
  const wrong = checkBake(bake, bakeOnly)
  if (wrong) return wrong
  const stuck = bakeOnly !== null && bake !== undefined ? { factor: bake.name, at: bakeOnly } : null
  // A plate that stays where it is need not be waited for, and its setting need not be one of the grid's.
  const free = factors.map((factor) =>
    factor.name === stuck?.factor ? { ...factor, hardToChange: false, step: null } : factor,
  )
  const name = stuck === null ? '' : `"${stuck.factor}"`
  const limits = [
    options.forbid.trim() === '' ? [] : [`(${options.forbid})`],
    stuck === null ? [] : [`${name} < ${stuck.at} or ${name} > ${stuck.at}`],
  ].flat()
  const forbid = limits.join(' or ')
  const forbidden = parseForbidden(forbid, free)
  if (!forbidden.ok) return forbidden
  const named =
    design?.model === undefined
      ? good(usualTerms(factors, curvedIn(design?.kind ?? 'optimal')))
      : termsOfFormula(design.model, factors)
  if (!named.ok) return named
  const inside = (settings: Settings) => within(factors, settings)
  const done = options.done.flatMap((run) => {
    const settings = inside(run.settings)
    return settings === null ? [] : [{ ...run, settings }]
  })
  const place = (settings: Settings) => placeOf(factors, codeSettings(factors, settings))
  const donePlaces = done.map(({ settings }) => place(settings))
  const reachable = placesLeft(free, forbidden.value, stuck, seeded(options.seed))
  if (reachable.length === 0)
    return refuse(
      'nothingFits',
      'Nothing is left to run: every combination is among those that cannot be made.',
      {
        column: 'forbid',
      },
    )
  const wanted = { ...options, factors: free, done, forbid, stuck: stuck !== null }
  const found = bestRuns(wanted, termGroups(named.value), { donePlaces, reachable, place })
  if (!found.ok) return found
  const { plan, kept, bySettings } = found.value

  const lastVisit = Math.max(
    0,
    ...[...options.done, ...options.planned, ...options.lost].map((run) => run.plateVisit ?? 0),
  )
  const visits = factors.some(({ hardToChange }) => hardToChange)
  const added = plan.runs.filter(({ kind }) => kind !== 'kept')
  let visit = lastVisit
  const runs = added.map(({ settings }, i) => {
    const before = added[i - 1]?.settings
    if (!before || factors.some((f) => f.hardToChange && before[f.name] !== settings[f.name])) visit += 1
    return { settings, plateVisit: visits ? visit : null }
  })
  let room = runs.length
  const old = options.planned.map(({ id, code, settings, plateVisit }) => {
    const fits = forbidden.value.forbids(settings) ? 'settings' : room > 0 ? 'yes' : 'runs'
    if (fits === 'yes') room -= 1
    return { runId: id, code, settings, plateVisit, fits: fits as Replanned['old'][number]['fits'] }
  })
  const rest = [...done, ...old.filter(({ fits }) => fits === 'yes')]
  const whole = [...done, ...options.planned, ...options.lost]
  const after = [...done, ...runs]
  const terms = named.value
  const tells = (list: readonly { settings: Settings }[]) =>
    estimable(
      terms,
      list.flatMap(({ settings }) => (inside(settings) === null ? [] : [place(settings)])),
    )
  const [byPlan, byRest] = [tells(whole), tells(rest)]
  const evaluated = (list: Parameters<typeof telling>[0]) => telling(list, factors, kept)
  const result = {
    done: done.length,
    remaining: runs.length,
    model: formulaOf(factors, termGroups(terms)),
    keptModel: formulaOf(factors, termGroups(kept)),
    terms: terms.map((term, t) => {
      const proposed = kept.includes(term)
      return {
        term: term.name,
        planned: byPlan[t] as boolean,
        rest: byRest[t] as boolean,
        proposed,
        why: proposed ? null : bySettings.includes(term) ? ('settings' as const) : ('runs' as const),
      }
    }),
    planned: evaluated(whole),
    rest: evaluated(rest),
    proposed: evaluated(after),
    old,
    runs,
    budget: plan.budget,
  }
  return good({ ...result, words: replanWords(result) })
}

function checkBake(
  bake: Factor | undefined,
  bakeOnly: number | null,
): { ok: false; problems: Problem[] } | null {
  if (bakeOnly === null) return null
  if (!bake)
    return refuse(
      'noBake',
      'No factor of this study is a bake temperature, so a stuck plate changes nothing.',
      {
        column: 'bakeOnly',
      },
    )
  const { low, high } = rangeOf(bake)
  if (bakeOnly >= low && bakeOnly <= high) return null
  return refuse(
    'bakeOutside',
    `${bakeOnly} °C is outside the planned ${low} to ${high} °C: widen the range of ${bake.name} first.`,
    { column: 'bakeOnly' },
  )
}

/** Settings with what really happened brought inside the planned ranges; null where a factor has none. */
function within(factors: readonly Factor[], settings: Settings): Settings | null {
  const pairs = factors.map((factor): [string, number | string] | null => {
    const value = settings[factor.name]
    if (factor.kind === 'categorical')
      return factor.levelNames.includes(String(value)) ? [factor.name, String(value)] : null
    if (typeof value !== 'number') return null
    const { low, high } = rangeOf(factor)
    return [factor.name, Math.min(high, Math.max(low, value))]
  })
  return pairs.some((pair) => pair === null) ? null : Object.fromEntries(pairs as [string, number | string][])
}

/** So many places are tried to see what the settings left can tell. */
const tried = 4000

/** Places at random among those that can still be run. */
function placesLeft(
  factors: readonly Factor[],
  forbidden: Forbidden,
  stuck: { factor: string; at: number } | null,
  random: Random,
): Place[] {
  const places: Place[] = []
  for (let i = 0; i < tried && places.length < 300; i++) {
    const settings = Object.fromEntries(
      factors.map((factor) => {
        if (factor.name === stuck?.factor) return [factor.name, stuck.at]
        const grid = factor.kind === 'categorical' || factor.hardToChange ? gridOf(factor) : null
        const coded = grid ? (grid[random.below(grid.length)] as number | string) : 2 * random.uniform() - 1
        return [factor.name, settle(factor, coded).setting]
      }),
    )
    if (!forbidden.forbids(settings)) places.push(placeOf(factors, codeSettings(factors, settings)))
  }
  return places
}

type Places = { donePlaces: Place[]; reachable: Place[]; place(settings: Settings): Place }

/** The best further runs for the most of the model that they and the runs done can estimate. */
function bestRuns(
  options: ReplanOptions & { stuck: boolean },
  groups: DesignTerm[][],
  { donePlaces, reachable, place }: Places,
) {
  const { factors, done, bench, left } = options
  const possible = firstEstimable(groups, [...donePlaces, ...reachable])
  const bySettings = groups.filter((group) => !possible.includes(group)).flat()
  const each = bench.coatMinutes + bench.readMinutes
  let remaining = 'runs' in left ? left.runs : Math.floor(left.minutes / Math.max(each, 1e-9))
  for (;;) {
    if (remaining < 1)
      return refuse('nothingFits', 'In the time left not one run more fits.', { column: 'minutes' })
    const told = basisOf(columnsOf(possible.flat(), donePlaces)).kept.length
    const most = Math.min(told + remaining, Math.max(2, done.length + remaining - enoughDf))
    let kept = firstEstimable(possible, [...donePlaces, ...reachable], most)
    for (;;) {
      const plan = planFor(options, kept, remaining)
      if (!plan.ok) return plan
      const terms = kept.flat()
      const places = plan.value.runs.map(({ settings }) => place(settings))
      const whole = basisOf(columnsOf(terms, places)).kept.length === terms.length
      if (!whole && kept.length > 1) {
        kept = kept.slice(0, -1)
        continue
      }
      const over = 'minutes' in left ? plan.value.budget.minutes - left.minutes : 0
      if (over <= 0) return good({ plan: plan.value, kept: terms, bySettings, factors })
      remaining -= Math.max(1, Math.floor(over / Math.max(each, 1e-9)))
      break
    }
  }
}

function planFor(
  { factors, design, done, planned, bench, seed, forbid, stuck }: ReplanOptions & { stuck: boolean },
  kept: DesignTerm[][],
  runs: number,
) {
  // No more often than the plan would have: on the day nobody waits for the plate for better statistics.
  const visits = Math.max(1, new Set(planned.slice(0, runs).map(({ plateVisit }) => plateVisit)).size)
  return planWithoutWays({
    factors: [...factors],
    // Dummies have been run, and the wafers are at hand.
    bench: { ...bench, dummies: 0, spares: 0 },
    design: {
      kind: 'optimal',
      replicates: 1,
      centre: 0,
      blocks: 1,
      seed,
      sigma: null,
      power: 0.8,
      model: formulaOf(factors, kept),
      runs,
      keep: done.map(({ settings }) => settings),
      // Without a word of the plan, what counts is the prediction at a recipe that is not known yet.
      criterion: design?.criterion ?? 'I',
      ...(factors.some(({ hardToChange }) => hardToChange) ? { visits } : {}),
      ...(design?.varianceRatio === undefined || stuck ? {} : { varianceRatio: design.varianceRatio }),
      ...(forbid === '' ? {} : { forbid }),
    },
  })
}

/** The model of the groups as a formula in coded factors. */
function formulaOf(factors: readonly Factor[], groups: readonly DesignTerm[][]): string {
  const texts = groups.map((group) =>
    (group[0] as DesignTerm).parts
      .map((part) => {
        const name = quoted((factors[part.factor] as Factor).name)
        return 'power' in part && part.power > 1 ? `${name}^${part.power}` : name
      })
      .join('.'),
  )
  return texts.filter((text) => text !== '').join(' + ') || '1'
}

function telling(
  runs: readonly { settings: Settings; plateVisit: number | null }[],
  factors: readonly Factor[],
  terms: readonly DesignTerm[],
): Telling {
  const usable = runs.flatMap(({ settings, plateVisit }): EvaluatedRun[] => {
    const own = within(factors, settings)
    return own === null ? [] : [{ coded: codeSettings(factors, own), plateVisit }]
  })
  const { dEfficiency, averagePredictionVariance, residualDf } = evaluateDesign({
    factors,
    runs: usable,
    terms,
  })
  return { runs: usable.length, dEfficiency, averagePredictionVariance, residualDf }
}
