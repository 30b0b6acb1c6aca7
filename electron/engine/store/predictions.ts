import type { Database } from 'better-sqlite3'
import type { PredictionResult } from '../../../shared/contract/results/fit.ts'
import type { SetErrors } from '../../../shared/contract/results/next.ts'
import type { Settings } from '../../../shared/contract/things.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow } from './row.ts'

/** What was expected of a run before it was made: an interval for it, and the data that said so. */
export type Prediction = {
  id: string
  studyId: string
  runId: string | null
  at: string
  settings: Settings
  model: string
  response: string
  dataHash: string
  /** For which runs the interval holds: those of the sessions below, or of any. */
  scope: PredictionResult['scope']
  /** Named sessions of the runs that were fitted. */
  sessions: string[]
  estimate: number
  lower: number
  upper: number
  chance: number | null
  /** Where the error of the run comes from, on the model's scale. */
  errors: SetErrors
}

/** Writes a prediction into the ledger. */
export function addPrediction(db: Database, prediction: Omit<Prediction, 'id' | 'at'>): void {
  insertRow(db, 'prediction', toRow({ id: newId(), at: now(), ...prediction }))
}

/** The ledger of a study, newest first. */
export function predictionsOf(db: Database, studyId: string): Prediction[] {
  const rows = db.prepare('SELECT * FROM prediction WHERE studyId = ? ORDER BY id DESC').all(studyId) as Row[]
  return rows.map((row) => fromRow(row, { json: ['settings', 'sessions', 'errors'] }) as Prediction)
}
