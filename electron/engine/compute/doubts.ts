import { percent, plainNumber, pWords } from '../../../shared/charts/format.ts'
import type { Doubt } from '../../../shared/contract/results/doubts.ts'
import type { Result } from '../../../shared/contract.ts'
import { outlyingRuns, outlyingSize } from '../../../shared/model/doubts/outlying-runs.ts'
import { visitEffects } from '../../../shared/model/doubts/plate-visits.ts'
import { neighboursAlike, orderSlope } from '../../../shared/model/doubts/run-order.ts'
import { median } from '../../../shared/model/groups.ts'
import type { FittedMixed } from '../../../shared/model/mixed.ts'
import { isExact } from '../../../shared/model/report.ts'
import { toMeasured } from '../../../shared/model/response.ts'
import { mostRuns, swappedChance, swappedPair, swappedSentence } from '../../../shared/model/swapped-pair.ts'
import { columnNamed } from '../../../shared/model/table.ts'
import { type Answer, good } from '../../../shared/problem.ts'
import { runReasons } from '../../../shared/process/run-reasons.ts'
import { type Doubted, doubtedFit, doubtful, estimateAt, type Looked, withinSessions } from './doubted-fit.ts'
import { misfitDoubt } from './misfit-doubt.ts'
import { type RecordedSession, recordedDoubt } from './recorded-doubt.ts'
import { fitRuns, fitRunsOverDays, type OverDaysInput } from './study-data.ts'

export type DoubtsInput = OverDaysInput & { response: string; sessions: RecordedSession[] }

/** Everything there is to doubt in the fit of a study, each with what it would change. */
export function doubtsOfFit(input: DoubtsInput): Answer<Result<'fits.doubts'>> {
  const answer = fitRuns(input)
  if (!answer.ok) return answer
  const doubted = doubtedFit(input.found, input.response, answer.value.model)
  const { fitted, at } = doubted
  const estimate = estimateAt(fitted, at)
  const nothing = { at, estimate, doubts: [], clear: [], explained: [] }
  if (fitted.solution.df < 2 || isExact(fitted))
    return good({
      ...nothing,
      notJudged: [
        'The model has nearly as many terms as there are runs: nothing is left over to doubt it by.',
      ],
    })
  const overDays = fitRunsOverDays(input)
  const days = overDays.ok && 'mixed' in overDays.value.model ? overDays.value.model : null
  const parts = [
    exchanged(doubted),
    outlying(doubted),
    inOrder(doubted),
    visits(doubted, days),
    recordedDoubt(doubted, input.sessions),
    misfitDoubt(doubted, days),
  ]
  return good({
    at,
    estimate,
    doubts: parts.flatMap(({ doubts = [] }) => doubts),
    clear: parts.flatMap(({ clear = [] }) => clear),
    notJudged: parts.flatMap(({ notJudged = [] }) => notJudged),
    explained: parts.flatMap(({ explained = [] }) => explained),
  })
}

function outlying({ found, fitted, runs, ...of }: Doubted): Looked {
  const { data, study } = found
  const { rows, scale } = fitted.frame
  const apart = outlyingRuns(fitted).filter(({ p }) => p < outlyingSize)
  if (apart.length === 0) return { clear: ['No single run lies further out than chance explains.'] }
  const usualRest = median(data.rest.filter((rest) => rest !== null)) || null
  const firsts = new Map<string, number>()
  runs.session.forEach((name, i) => {
    firsts.set(name, Math.min(firsts.get(name) ?? Number.POSITIVE_INFINITY, runs.order[i] as number))
  })
  return {
    doubts: apart.map(({ place, studentized, p, expected }): Doubt => {
      const row = rows[place] as number
      const run = data.runs[row]
      const column = columnNamed(data.table, scale.name)
      const measured = column?.values[row] as number
      const unit = column?.unit ? ` ${column.unit}` : ''
      const should = toMeasured(scale, expected)
      const session = runs.session[place] as string
      const reasons = run
        ? runReasons(run, study, {
            ratio: measured > 0 && should > 0 ? measured / should : null,
            rest: data.rest[row] ?? null,
            usualRest,
            first: session !== '' && runs.order[place] === firsts.get(session),
            replaced: (data.replaced[row] ?? []).map(({ factor, actual }) => `${factor} ${actual}`),
          })
        : []
      return {
        kind: 'outlying run',
        sentence:
          `Run ${run?.code} reads ${shown(measured)}${unit} where the other runs let expect ${shown(should)}${unit}: ` +
          `${plainNumber(Number(Math.abs(studentized).toFixed(1)))} standard deviations away.`,
        p,
        reasons:
          reasons.length > 0
            ? reasons
            : ['Nothing recorded of it tells why: look for the cause before it is left out.'],
        runIds: run ? [run.id] : [],
        without: of.without(new Set([row])),
      }
    }),
  }
}

/** Two wafers whose marks were mixed up; first of all, since each of them alone looks like a bad run. */
function exchanged({ fitted, codesOf, idsOf, without }: Doubted): Looked {
  if (fitted.frame.rows.length > mostRuns) return {}
  const pair = swappedPair(fitted)
  if (pair === null) return { clear: ['No two wafers look exchanged.'] }
  const places = [pair.first, pair.second]
  return {
    doubts: [
      {
        kind: 'exchanged wafers',
        sentence: `${swappedSentence(pair, codesOf([pair.first]), codesOf([pair.second]))}.`,
        p: null,
        reasons: [`Check the marks on the wafers. ${swappedChance}`],
        runIds: idsOf(places),
        without: without(new Set(places.map((place) => fitted.frame.rows[place] as number))),
      },
    ],
  }
}

const shown = (value: number) => plainNumber(Number(value.toPrecision(5)))

function inOrder({ fitted, found, runs, at }: Doubted): Looked {
  const { table } = found.data
  const result: Required<Pick<Looked, 'doubts' | 'clear' | 'notJudged'>> = {
    doubts: [],
    clear: [],
    notJudged: [],
  }
  const slope = orderSlope(fitted, table, runs)
  if (!slope) result.notJudged.push('Drift in run order cannot be told from the settings in these runs.')
  else if (slope.p >= doubtful) result.clear.push(`No drift in run order (${pWords(slope.p)}).`)
  else {
    const percentScale = fitted.frame.scale.function === 'log'
    const each = (value: number) => (percentScale ? percent(Math.expm1(value), 2) : shown(value))
    result.doubts.push({
      kind: 'drift in run order',
      sentence:
        `What the model leaves over ${slope.perRun > 0 ? 'rises' : 'falls'} with run order in a session, by ` +
        `${each(slope.perRun)} a run (${each(slope.lower)} to ${each(slope.upper)}).`,
      p: slope.p,
      reasons: [
        'Resist that warms or thickens, a bowl that fills, a plate that has not settled, a room that drifts.',
      ],
      runIds: [],
      without: estimateAt(slope.fitted, { ...at, 'run order in its session': 0 }),
    })
  }
  // A step from one session to the next leaves all runs of a session alike: it is no change within them.
  const within = withinSessions({ fitted, found, runs })
  const alike = neighboursAlike(within?.fitted ?? fitted, within?.runs ?? runs)
  if (alike && alike.p >= doubtful)
    result.clear.push(`Runs next to each other are not left over alike (${pWords(alike.p)}).`)
  else if (alike)
    result.doubts.push({
      kind: 'neighbours alike',
      sentence: `Runs next to each other are left over alike (Durbin–Watson ${alike.statistic.toFixed(2)}, 2 where they are not).`,
      p: alike.p,
      reasons: [
        'Something changes slowly or in steps while the session goes on. Intervals that take runs for independent are then too narrow.',
      ],
      runIds: [],
      without: null,
    })
  return result
}

function visits({ without, codesOf, idsOf, fitted }: Doubted, days: FittedMixed | null): Looked {
  if (!days) return {}
  const { mixed } = days
  if (!mixed.reduced.tree.names.at(-1)?.endsWith('plateVisit')) return {}
  const effects = visitEffects(mixed)
  const apart = effects.filter((visit) => visit.apart)
  if (apart.length === 0)
    return { clear: [`None of the ${effects.length} plate visits stands apart, all looked at together.`] }
  const each = (value: number) =>
    fitted.frame.scale.function === 'log' ? percent(Math.expm1(value), 2) : shown(value)
  const { rows } = mixed.fitted.frame
  return {
    doubts: apart.map(({ places, effect, lower, upper }) => ({
      kind: 'plate visit',
      sentence: `The plate visit of ${codesOf(places)} lies ${each(effect)} beside the others (${each(lower)} to ${each(upper)}, for all visits at once).`,
      p: null,
      reasons: [
        'The plate was not where it was thought to be: probe its surface, and look at when it was set.',
      ],
      runIds: idsOf(places),
      without: without(new Set(places.map((place) => rows[place] as number))),
    })),
  }
}
