import type { Reading, Run, Study } from '../../../shared/contract/things.ts'
import { fullyRead } from '../../../shared/film/fully-read.ts'
import { ofStage, thickness } from '../../../shared/film/reading-stage.ts'
import { noThickness } from '../files/no-thickness.ts'
import type { Store } from '../store/open.ts'
import { addReading, excludeReading, readingsOfRun } from '../store/readings.ts'
import { changeRun, runOf } from '../store/runs.ts'
import { correctedBy, type ParsedEntry } from './entry.ts'

/** Keeps what was entered of one quantity of a run; the ids of the readings that stand then, in order. */
export function keepEntries(
  store: Store,
  { run, study }: { run: Run; study: Study },
  quantity: string,
  entries: readonly ParsedEntry[],
): string[] {
  const standing = readingsOfRun(store.db, run.id).filter((reading) => reading.quantity === quantity)
  return entries.map((entry) => keepEntry(store, { run, study }, quantity, entry, standing))
}

/**
 * Adds a reading, superseding the one it corrects; typing the same again adds nothing. What is no
 * thickness is marked as excluded. The id of the one that stands.
 */
function keepEntry(
  { db }: Store,
  { run, study }: { run: Run; study: Study },
  quantity: string,
  entry: ParsedEntry,
  standing: readonly Reading[],
): string {
  const { row: _, ...reading } = entry
  const before = correctedBy(entry, standing, study)
  const same = (['text', 'unit', 'takenAfter', 'opticalIndex'] as const).every(
    (field) => before?.[field] === entry[field],
  )
  if (before && same) return before.id
  const id = addReading(db, { runId: run.id, quantity, ...reading, supersedes: before?.id ?? null })
  const reason = quantity === thickness ? noThickness(entry.value) : null
  if (reason) excludeReading(db, id, reason)
  return id
}

/** Whether a run waits for its readings; one that failed or was dropped stays so whatever is read of it. */
const isUnread = ({ state }: Pick<Run, 'state'>): boolean => state === 'planned' || state === 'coated'

/**
 * Says of a run that was entered in whether it is measured: once every site of the map is read at the stage of the
 * target; until then it is coated.
 */
export function settleState({ db }: Store, run: Run, study: Study, readings: readonly Reading[]): void {
  if (!isUnread(run)) return
  const film = readings.filter(({ quantity }) => quantity === thickness)
  const state = film.length === 0 || fullyRead(study, ofStage(film, study).counting) ? 'measured' : 'coated'
  if (state !== run.state) changeRun(db, run.id, { state })
}

/** The same after readings were taken back or moved, which may leave a measured run with sites to read. */
export function resettleState(store: Store, { id }: Pick<Run, 'id'>, study: Study): void {
  const run = runOf(store.db, id)
  const readings = readingsOfRun(store.db, id)
  if (!run) return
  const film = readings.filter(({ quantity }) => quantity === thickness)
  const isRead = film.length > 0 && fullyRead(study, ofStage(film, study).counting)
  if (run.state === 'measured' && !isRead) changeRun(store.db, id, { state: 'coated' })
  else if (readings.length > 0) settleState(store, run, study, readings)
}
