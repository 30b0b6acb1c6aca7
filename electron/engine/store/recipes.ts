import type { Database } from 'better-sqlite3'
import type { KeptRecipe } from '../../../shared/contract/recipes.ts'
import { newId, now } from './ids.ts'
import { fromRow, insertRow, type Row, toRow } from './row.ts'

const kept = `SELECT *, (SELECT later.id FROM recipe AS later
  WHERE later.supersedes = recipe.id AND later.removed = 0) AS supersededBy FROM recipe WHERE removed = 0`

function toRecipe({ removed: _, ...row }: Row): KeptRecipe {
  return fromRow(row, { json: ['settings', 'program', 'film', 'speeds', 'exponent'] }) as KeptRecipe
}

/** The recipes of a study, each name's newest version first. */
export function recipesOf(db: Database, studyId: string): KeptRecipe[] {
  const rows = db.prepare(`${kept} AND studyId = ? ORDER BY name, version DESC`).all(studyId) as Row[]
  return rows.map(toRecipe)
}

/** One recipe; null where there is none of that id. */
export function recipeOf(db: Database, id: string): KeptRecipe | null {
  const row = db.prepare(`${kept} AND id = ?`).get(id) as Row | undefined
  return row ? toRecipe(row) : null
}

/** Keeps a recipe; its id. The database refuses to change it afterwards. */
export function addRecipe(
  db: Database,
  recipe: Omit<KeptRecipe, 'id' | 'supersededBy' | 'decidedAt'> & { decidedAt?: string },
): string {
  const id = newId()
  insertRow(db, 'recipe', toRow({ id, decidedAt: now(), ...recipe, removed: false }))
  return id
}
