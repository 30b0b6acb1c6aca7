import type { Problem } from '../problem.ts'
import type { Frame } from './frame.ts'
import { columnNamed, type Table } from './table.ts'

/**
 * What a prediction from these runs does not show: the variance between sessions.
 *
 * @param name of the column that tells sessions apart
 */
export function sessionProblem({ rows }: Frame, table: Table, name = 'session'): Problem {
  const column = columnNamed(table, name)
  const sessions = new Set(rows.map((row) => column?.values[row]).filter((value) => value != null))
  return {
    code: 'sameSession',
    message:
      sessions.size < 2
        ? 'Predictions hold for the session of these runs: another day adds a variance that they do not show.'
        : `The runs come from ${sessions.size} sessions, whose variance is not estimated: ` +
          'predictions hold for the same sessions only.',
  }
}
