import * as things from '../../../shared/contract/things.ts'
import { contract } from '../../../shared/contract.ts'
import { unpackPoints } from '../compute/traces.ts'
import type { Store } from '../store/open.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { runsOf } from '../store/runs.ts'
import { pointsOf, scansOfRun } from '../store/traces.ts'
import { bench } from './bench.ts'
import { block } from './block.ts'
import { confirmations } from './confirmations.ts'
import { history } from './history.ts'
import { ledger } from './ledger.ts'
import { lots } from './lots.ts'
import { materials } from './materials.ts'
import { plans } from './plans.ts'
import { recipes } from './recipes.ts'
import { reports } from './reports.ts'
import { sessions } from './sessions.ts'
import { studies } from './studies.ts'
import { tools } from './tools.ts'

/** Calls by which the page reads a study. */
const reading = {
  ...{ ...studies, ...tools, ...plans, ...bench, ...block, ...sessions, ...materials },
  ...{ ...ledger, ...confirmations, ...lots, ...recipes, ...reports, ...history },
}
const names = [
  ...([
    'studies.get',
    'tools.list',
    'plans.remaining',
    'bench.runs',
    'bench.readings',
    'sessions.list',
  ] as const),
  ...(['bottles.list', 'next.ledger', 'next.confirmations', 'lots.decisions', 'recipes.list'] as const),
  ...(['reports.items', 'history.list', 'history.read'] as const),
]

/**
 * Whether everything of a study reads as what this program writes. The tables take any text in a column of texts, and
 * the file of a study may hold what no page would have entered.
 */
export function readsAsOurs(store: Store, studyId: string): boolean {
  const { db } = store
  try {
    const runs = runsOf(db, studyId)
    const readings = [...readingsOfStudy(db, studyId).values()].flat()
    return (
      runs.every((run) => things.run.safeParse(run).success) &&
      readings.every((reading) => things.reading.safeParse(reading).success) &&
      runs.every(({ id }) => scansOfRun(db, id).every((scan) => unpackPoints(pointsOf(db, scan.id)).ok)) &&
      names.every((name) => {
        const read = reading[name] as (args: unknown, store: Store) => { ok: boolean; value?: unknown }
        const answer = read({ studyId }, store)
        return answer.ok && contract[name].result.safeParse(answer.value).success
      })
    )
  } catch (error) {
    // JSON, moments and places of another shape than ours.
    if (error instanceof SyntaxError || error instanceof TypeError || error instanceof RangeError)
      return false
    throw error
  }
}
