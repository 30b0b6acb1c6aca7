import type { ToldChange, ToldStep } from '../../../shared/contract/results/history.ts'
import type { Study } from '../../../shared/contract/things.ts'
import { textOfValue } from '../../../shared/history/field-values.ts'
import { gather } from '../../../shared/history/gather.ts'
import type { Look } from '../../../shared/history/look.ts'
import { type RecordedChange, tell } from '../../../shared/history/tell.ts'
import { writeCsv } from '../files/write-csv.ts'
import { changesOf, lookInto, type RecordedStep, stepsBefore, type Wanted } from '../store/history.ts'
import type { Store } from '../store/open.ts'
import { simulated } from './study-csv.ts'

/** Recorded changes of one step that are read for the page. */
const mostShown = 400

/** A page of the history, each step with its changes gathered. */
export function toldHistory({ db }: Store, wanted: Wanted): { steps: ToldStep[]; before: number | null } {
  const look = lookInto(db)
  // One more tells whether there are any behind the page.
  const found = stepsBefore(db, { ...wanted, limit: wanted.limit + 1 })
  const steps = found.slice(0, wanted.limit).map((step): ToldStep => {
    const { id, at, who, label, kind } = step
    const { changes, all } = changesOf(db, step, { runId: wanted.runId, most: mostShown })
    const told = gather(tellAll(step, changes, look))
    return { id, at, who, label, kind, undone: step.undone === 1, changes: told, more: all - changes.length }
  })
  return { steps, before: found.length > wanted.limit ? (steps.at(-1)?.id ?? null) : null }
}

function tellAll({ imports, kind }: RecordedStep, changes: readonly RecordedChange[], look: Look) {
  const told = changes.flatMap((change) => tell(change, look))
  // What an import brings is kept under a mark until it is whole: lifting the mark the first time is its coming.
  return imports && kind === 'do' ? told.map((each) => ({ ...each, what: 'added' as const })) : told
}

/** Steps that are read at once for a file. */
const atOnce = 200

/** A row for each change of a study, newest first; a step of which nothing is told has one row. */
export function historyCsv({ db }: Store, study: Study): string {
  const marked = study.simulated ? [simulated] : []
  const look = lookInto(db)
  const rows: (string | null)[][] = []
  let before = Number.MAX_SAFE_INTEGER
  for (;;) {
    const steps = stepsBefore(db, { studyId: study.id, runId: null, before, limit: atOnce })
    for (const step of steps) {
      const { changes } = changesOf(db, step, { runId: null, most: Number.MAX_SAFE_INTEGER })
      const told = tellAll(step, changes, look)
      for (const change of told.length > 0 ? told : [null])
        rows.push([step.at, step.who, step.label, ...cellsOf(change), undoneCell(step), ...marked])
    }
    if (steps.length < atOnce) break
    before = steps.at(-1)?.id ?? 0
  }
  const headers = ['time', 'who', 'step', 'thing', 'change', 'field', 'from', 'to', 'undone']
  return writeCsv([...headers, ...marked], rows)
}

const undoneCell = ({ undone }: RecordedStep) => (undone === 1 ? 'undone' : null)

function cellsOf(change: ToldChange | null): (string | null)[] {
  if (!change) return [null, null, null, null, null]
  const { thing, what, field, from, to } = change
  return [thing, what, field, from && textOfValue(from), to && textOfValue(to)]
}
