import { plainNumber } from '../charts/format.ts'
import type { Plan, WayToFit } from '../contract/results/plan.ts'
import type { DesignSettings } from '../contract/things.ts'
import { fewerSites } from '../film/site-map.ts'
import { type BenchFigures, tidy } from '../process/budget.ts'
import { fitsSlot, longestSession } from '../process/timeline.ts'
import { settingKey } from './visits.ts'
import { whatIsLost } from './what-is-lost.ts'

/** A change to try; `study` where it is one of the study rather than of the design. */
type Try = { what: string; design?: Partial<DesignSettings>; study?: WayToFit['study']; cost?: string }

/** So many are named at most. */
const mostNamed = 7

/**
 * What to drop so that a plan fits the booked hours: each way planned anew, with the minutes that the longest session
 * gets shorter and what the plan can then tell less well. Those that fit come first, the one that loses least at the
 * head and those for which the bottle has not enough behind; then those that help, the most minutes first.
 *
 * @param options.visits how many visits were chosen, where the design leaves them open
 * @param options.planWith the plan with another design or other figures of the bench; null where it cannot be had
 */
export function waysToFit(options: {
  plan: Plan
  design: DesignSettings
  bench: BenchFigures
  visits: number | undefined
  planWith: (design: DesignSettings, bench?: BenchFigures) => Plan | null
}): WayToFit[] {
  const { plan, bench, planWith } = options
  const stated = options.visits === undefined ? {} : { visits: options.visits }
  const design = { ...options.design, ...stated }
  const now = longestSession(plan.timeline)
  const tries: Try[] = [
    ...otherReading(design),
    ...orderedOtherwise(plan, design),
    ...plateBefore(bench),
    ...shorterReading(bench, design),
    ...fewerRuns({ plan, design, bench, stated, planWith }),
    ...smallerKinds(plan, design),
    ...moreSessions(design),
  ]
  const ways = tries.flatMap((one) => {
    const figures = one.study ? withFigures(bench, one.study) : bench
    const made = planWith({ ...design, ...one.design }, figures)
    if (made === null) return []
    const saves = tidy(now - longestSession(made.timeline))
    if (saves <= 0) return []
    const lost = whatIsLost(plan, made)
    const cost =
      [one.cost, ...whatItTakes(plan, made), lost.words].filter(Boolean).join(' ') ||
      'The plan tells as much as before.'
    const way: WayToFit = {
      what: one.what,
      saves,
      fits: fitsSlot(made.timeline),
      cost,
      ...(one.design ? { design: one.design } : {}),
      ...(one.study ? { study: one.study } : {}),
    }
    return [{ way, loss: lost.share, dry: runsDry(made) }]
  })
  return ways
    .sort(
      (a, b) =>
        Number(b.way.fits) - Number(a.way.fits) ||
        Number(a.dry) - Number(b.dry) ||
        (a.way.fits ? a.loss - b.loss : 0) ||
        b.way.saves - a.way.saves,
    )
    .slice(0, mostNamed)
    .map(({ way }) => way)
}

const runsDry = ({ budget }: Plan) => (budget.leftInBottleMl ?? 0) < 0

/** Where a way takes another number of sessions or plate visits, or more resist than before, in sentences. */
function whatItTakes(before: Plan, after: Plan): string[] {
  const visits = ({ runs }: Plan) => new Set(runs.flatMap(({ plateVisit }) => plateVisit ?? [])).size
  const [sessions, sessionsNow] = [before.timeline.sessions.length, after.timeline.sessions.length]
  const [resist, resistNow] = [before.budget.resistMl, after.budget.resistMl]
  const left = after.budget.leftInBottleMl
  const dry =
    left !== null && left < 0 ? `, and the bottle has ${plainNumber(tidy(left + resistNow))} mL` : ''
  const counted = (n: number, of: string) => `${n} ${of}${n === 1 ? '' : 's'}`
  return [
    ...(sessionsNow === sessions ? [] : [`Takes ${counted(sessionsNow, 'session')}, not ${sessions}.`]),
    ...(visits(after) === visits(before)
      ? []
      : [`Makes ${counted(visits(after), 'plate visit')}, not ${visits(before)}.`]),
    ...(dry !== '' || resistNow > resist
      ? [`Needs ${plainNumber(resistNow)} mL of resist, now ${plainNumber(resist)}${dry}.`]
      : []),
  ]
}

/** The bench with the figures of a change; what the change leaves open stays. */
function withFigures(bench: BenchFigures, change: NonNullable<WayToFit['study']>): BenchFigures {
  const {
    siteMap = bench.siteMap,
    readMinutes = bench.readMinutes,
    plateAtStart = bench.plateAtStart,
  } = change
  return { ...bench, siteMap, readMinutes, plateAtStart }
}

function otherReading(design: DesignSettings): Try[] {
  const now = design.reading ?? 'after'
  const later: Try = {
    what: 'Read the films after the slot',
    design: { reading: 'later' },
    cost: 'A bad coat is noticed too late to coat it again.',
  }
  const meanwhile: Try = {
    what: 'Read the films while the next are coated',
    design: { reading: 'meanwhile' },
    cost: 'Needs a second person.',
  }
  return now === 'later' ? [] : now === 'meanwhile' ? [later] : [meanwhile, later]
}

function orderedOtherwise({ factors, runs }: Plan, design: DesignSettings): Try[] {
  const own = runs.filter(({ kind }) => kind !== 'kept' && kind !== 'reference')
  const visits = new Set(own.flatMap(({ plateVisit }) => plateVisit ?? [])).size
  const hard = factors.filter((factor) => factor.hardToChange)
  const settings = new Set(own.map((run) => settingKey(hard, run))).size
  const counted = design.visits ?? visits
  return [
    ...(design.visitOrder === 'cheapest' || visits < 2
      ? []
      : [
          {
            what: 'Take the plate visits in the order with the least waiting',
            design: { visitOrder: 'cheapest' as const },
            cost: 'A steady drift may then look like an effect of the plate.',
          },
        ]),
    // Below one visit a setting the design itself would have to change.
    ...(counted <= settings ? [] : [{ what: 'Make one plate visit fewer', design: { visits: counted - 1 } }]),
    ...(design.reference
      ? [
          {
            what: 'Leave out the reference wafers',
            design: { reference: false },
            cost: 'Results can then not be shown as a ratio to a reference.',
          },
        ]
      : []),
  ]
}

function plateBefore({ plateAtStart, hotPlate }: BenchFigures): Try[] {
  if (plateAtStart === 'set beforehand' || hotPlate === null) return []
  return [
    {
      what: 'Set the plate before the session begins',
      study: { plateAtStart: 'set beforehand' },
      cost: 'Somebody has to switch it on in time.',
    },
  ]
}

/** Reading is taken to last as long as there are sites. */
function shorterReading(bench: BenchFigures, design: DesignSettings): Try[] {
  const fewer = fewerSites(bench.siteMap)
  if (fewer === null || design.reading === 'later' || bench.readMinutes === 0) return []
  const { map, sites, now } = fewer
  const readMinutes = Number(((bench.readMinutes * sites) / now).toPrecision(2))
  return [
    {
      what: `Read ${sites} sites of each film, not ${now}`,
      study: { siteMap: map, readMinutes },
      cost: 'The evenness of each film is told less well.',
    },
  ]
}

/** Of what can be counted down: the first number that fits, as far as a few tries show, else the least. */
function fewerRuns(options: {
  plan: Plan
  design: DesignSettings
  bench: BenchFigures
  stated: Partial<DesignSettings>
  planWith: (design: DesignSettings) => Plan | null
}): Try[] {
  const { plan, design, bench, stated, planWith } = options
  const { sessions, reading } = plan.timeline
  const over = Math.max(...sessions.map((session) => session.over ?? 0))
  const minutes = bench.coatMinutes + (reading === 'after' ? bench.readMinutes : 0)
  const down = (
    from: number,
    least: number,
    runsOfOne: number,
    change: (n: number) => Partial<DesignSettings>,
  ): number | undefined => {
    if (from <= least || minutes === 0) return undefined
    const first = Math.max(least, from - Math.ceil((over * sessions.length) / (minutes * runsOfOne)))
    const counts = [0, 1, 2, 3].map((more) => first - more).filter((n) => n > least && n < from)
    let last: number | undefined
    for (const n of [...counts, least]) {
      const other = planWith({ ...design, ...change(n) })
      if (other === null) continue
      if (fitsSlot(other.timeline)) return n
      last = n
    }
    return last
  }
  const own =
    plan.runs.filter(({ kind }) => kind === 'optimal' || kind === 'space').length / design.replicates
  const counted = plan.runs.filter(({ kind }) => !['kept', 'centre', 'reference'].includes(kind)).length
  const replicates = down(design.replicates, 1, counted / design.replicates, (n) => ({ replicates: n }))
  const centre = down(design.centre, 0, 1, (n) => ({ centre: n }))
  const runs = down(own, plan.evaluation.terms.length + 1, design.replicates, (n) => ({ runs: n }))
  const fewer = (what: string, change: Partial<DesignSettings>): Try => ({
    what,
    design: { ...change, ...stated },
  })
  return [
    ...(replicates === undefined
      ? []
      : [fewer(`Run the design ${times(replicates)}, not ${times(design.replicates)}`, { replicates })]),
    ...(centre === undefined
      ? []
      : [
          fewer(
            centre === 0
              ? 'Leave out the centre points'
              : `Make ${centre} of the ${design.centre} centre points`,
            { centre },
          ),
        ]),
    ...(runs === undefined ? [] : [fewer(`Make ${runs} runs, not ${own}`, { runs })]),
  ]
}

const times = (n: number) => (n === 1 ? 'once' : n === 2 ? 'twice' : `${n} times`)

/** Kinds of design that need fewer runs for much the same question. */
function smallerKinds({ factors }: Plan, design: DesignSettings): Try[] {
  if (design.kind !== 'full' || factors.some((factor) => factor.kind === 'categorical')) return []
  const curved = factors.some((factor) => factor.levels >= 3)
  const kinds: Try[] = curved
    ? [
        { what: 'Take a composite, with star points', design: { kind: 'composite', star: 'face' } },
        ...(factors.length >= 3
          ? [{ what: 'Take the edge midpoints', design: { kind: 'box-behnken' as const } }]
          : []),
      ]
    : []
  return [...kinds, { what: 'Take a fraction of the two-level grid', design: { kind: 'fraction' } }]
}

function moreSessions(design: DesignSettings): Try[] {
  const sessions = (design.sessions ?? 1) + 1
  return sessions > 3
    ? []
    : [
        {
          what: `Spread the runs over ${sessions} sessions`,
          design: { sessions, blocks: 1 },
          cost: 'Needs another booking, with its dummies and purge; what the day does can then be estimated.',
        },
      ]
}
