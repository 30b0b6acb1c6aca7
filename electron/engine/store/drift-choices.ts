import type { Database } from 'better-sqlite3'
import type { DriftChoice } from '../../../shared/contract/results/drift.ts'
import { usualChoice } from '../../../shared/drift/rules.ts'

/** How the drift of a recipe is watched: as a person chose, or as usual where nobody has. */
export function driftChoiceOf(db: Database, recipeId: string): DriftChoice {
  const kept = db.prepare('SELECT choice FROM driftChoice WHERE id = ?').pluck().get(recipeId)
  return kept === undefined ? usualChoice : JSON.parse(kept as string)
}

export function keepDriftChoice(db: Database, recipeId: string, choice: DriftChoice): void {
  db.prepare(
    'INSERT INTO driftChoice (id, choice) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET choice = excluded.choice',
  ).run(recipeId, JSON.stringify(choice))
}
