import { percent, pWords } from '../../../shared/charts/format.ts'
import type { Session } from '../../../shared/contract/things.ts'
import {
  type Explained,
  type Recorded,
  recordedCauses,
} from '../../../shared/model/doubts/recorded-causes.ts'
import type { RunOrder } from '../../../shared/model/doubts/run-order.ts'
import {
  fewestSessions,
  type RecordedOfSessions,
  sessionCauses,
} from '../../../shared/model/doubts/session-causes.ts'
import type { Fitted } from '../../../shared/model/fitted.ts'
import { reportOf } from '../../../shared/model/report.ts'
import { type Doubted, doubtful, type Looked, withinSessions } from './doubted-fit.ts'
import type { StudyData } from './study-data.ts'

/** A session with the bottle that it poured from, as it was then; null where none is named. */
export type RecordedSession = Session & { bottle: { openings: number; daysOpen: number | null } | null }

const inSessions = 'What was recorded of room, plate and bowl'

/** Whether something recorded goes with the scatter within sessions, or with how sessions differ; one p for all of it. */
export function recordedDoubt(
  { fitted, found, runs }: Doubted,
  sessions: readonly RecordedSession[],
): Looked {
  const counts = new Map<string, number>()
  for (const name of runs.session) counts.set(name, (counts.get(name) ?? 0) + 1)
  if ([...counts].filter(([name, count]) => name !== '' && count > 1).length < 2)
    return {
      notJudged: [
        `${inSessions} is not held against the scatter: the runs come from one session, where all of it moves with run ` +
          'order and the best of six pure noise records explains a third of what is left over.',
      ],
    }
  const held = withinSessions({ fitted, found, runs })
  if (held === null)
    return {
      notJudged: ['The runs are too few to hold what was recorded against their scatter within sessions.'],
    }
  const { fitted: within, runs: order } = held
  const ofRuns = recordedOf(found, within.frame.rows, sessions)
  const inside = recordedCauses(within, ofRuns, order)
  const between = betweenSessions(within, order, recordedOfSessions(order, ofRuns, sessions))
  // Two families are looked through, each with the p of its best: both count (Bonferroni).
  const families = (inside === null ? 0 : 1) + (between.causes === null ? 0 : 1)
  const parts = [
    ...(inside === null
      ? [
          {
            notJudged: [
              'Nothing was recorded of the runs that differs within sessions (room, plate, bowl, lid).',
            ],
          },
        ]
      : [said({ ...inside, of: 'what is left over', order: 'run order' }, families)]),
    ...(between.causes === null
      ? []
      : [said({ ...between.causes, of: 'how sessions differ', order: 'the order of sessions' }, families)]),
    { notJudged: between.notJudged },
  ] satisfies Looked[]
  return {
    explained: [
      ...(inside?.explained ?? []),
      ...(between.causes?.explained ?? []).map((each) => ({
        ...each,
        name: `${each.name}, between sessions`,
      })),
    ],
    doubts: parts.flatMap((part: Looked) => part.doubts ?? []),
    clear: parts.flatMap((part: Looked) => part.clear ?? []),
    notJudged: parts.flatMap((part: Looked) => part.notJudged ?? []),
  }
}

/** What the best of those that were tried comes to. */
function said(
  {
    explained,
    p,
    tried,
    ...words
  }: { explained: Explained[]; p: number; tried: number; of: string; order: string },
  families: number,
): Looked {
  const [best] = explained
  if (!best) return {}
  const ofAll = Math.min(1, families * p)
  const sentence = `${best.name} goes best with ${words.of}: ${percent(best.share, 0)} of it, the best of ${tried} tried`
  if (ofAll >= doubtful) return { clear: [`${sentence}, as chance does (${pWords(ofAll)}).`] }
  const along = best.withRunOrder
  return {
    doubts: [
      {
        kind: 'recorded cause',
        sentence: `${sentence}.`,
        p: ofAll,
        reasons:
          along !== null && Math.abs(along) > 0.5
            ? [
                `It moves with ${words.order} (correlation ${along.toFixed(2)}): anything else that drifts would look the same.`,
              ]
            : ['Going together is no cause yet: change it on purpose in two runs, or hold it.'],
        runIds: [],
        without: null,
      },
    ],
  }
}

/** How sessions differ beside the model, held against what was recorded once in each. */
function betweenSessions(
  within: Fitted,
  { order, session }: RunOrder,
  recorded: readonly RecordedOfSessions[],
): { causes: ReturnType<typeof sessionCauses>; notJudged: string[] } {
  const differing = recorded.filter(
    ({ values }) => new Set(values.filter((value) => value !== null)).size > 1,
  )
  if (differing.length === 0) return { causes: null, notJudged: [] }
  const names = [...new Set(session)]
  const terms = new Map(reportOf(within, 0.95).terms.map(({ term, estimate }) => [term, estimate]))
  const effects = names.map((name, i) => terms.get(`session[${name}]`) ?? (i === 0 ? 0 : null))
  const known = effects.filter((effect) => effect !== null)
  const causes =
    known.length === names.length
      ? sessionCauses(
          known,
          differing,
          names.map((name) => {
            const of = order.filter((_, i) => session[i] === name)
            return of.reduce((sum, value) => sum + value, 0) / of.length
          }),
        )
      : null
  const list = differing.map(({ name }) => name).join(', ')
  if (causes !== null) return { causes, notJudged: [] }
  return {
    causes,
    notJudged: [
      names.length < fewestSessions
        ? `${list}: recorded with one value a session, which fewer than ${fewestSessions} sessions do not tell from the session itself.`
        : `${list}: recorded with one value a session, and these runs do not tell how sessions differ beside the model.`,
    ],
  }
}

/** What is recorded of each run, its own record before that of its session. */
function recordedOf({ data }: StudyData, rows: readonly number[], sessions: readonly Session[]): Recorded[] {
  const named = new Map(sessions.map((session) => [session.name, session]))
  const of = (name: string, value: (row: number) => number | null | undefined): Recorded => ({
    name,
    values: rows.map((row) => value(row) ?? null),
  })
  const actual = (row: number) => data.runs[row]?.actual ?? {}
  const session = (row: number) => named.get(data.runs[row]?.session ?? '')
  const all = [
    of('room temperature', (row) => actual(row).roomTemperature ?? session(row)?.roomTemperature),
    of('humidity', (row) => actual(row).humidity ?? session(row)?.humidity),
    of('minutes since the plate was set', (row) => actual(row).minutesSinceSet),
    of('wafers since the bowl was cleaned', (row) => actual(row).waferSinceClean),
    of('lid open', (row) =>
      Object.keys(actual(row)).length === 0 ? null : Number(actual(row).lidOpen ?? false),
    ),
  ]
  return all.filter(({ values }) => new Set(values.filter((value) => value !== null)).size > 1)
}

/** What is recorded once a session, and of the runs what has one value in each. */
function recordedOfSessions(
  { session }: RunOrder,
  ofRuns: readonly Recorded[],
  sessions: readonly RecordedSession[],
): RecordedOfSessions[] {
  const names = [...new Set(session)]
  const known = names.map((name) => sessions.find((one) => one.name === name))
  const constant = ofRuns.flatMap(({ name, values }) => {
    const inEach = names.map(
      (own) => new Set(values.filter((value, i) => session[i] === own && value !== null)),
    )
    return inEach.every(({ size }) => size <= 1)
      ? [{ name, values: inEach.map((one) => [...one][0] ?? null) }]
      : []
  })
  return [
    ...constant,
    { name: 'openings of the bottle', values: known.map((one) => one?.bottle?.openings ?? null) },
    { name: 'days since the bottle was opened', values: known.map((one) => one?.bottle?.daysOpen ?? null) },
    { name: 'operator', values: known.map((one) => one?.operator.trim() || null) },
  ]
}
