import type { Study } from '../../../shared/contract/things.ts'
import { thickness } from '../../../shared/film/reading-stage.ts'
import { suggestModels } from '../../../shared/model/suggest.ts'
import { columnNamed } from '../../../shared/model/table.ts'
import type { StudyTable } from '../compute/study-data.ts'
import { nonUniformity } from './study-table.ts'

/** A straight-line copy of another column, such as a factor in coded units, correlates this closely. */
const copy = 0.999

/** Suggestions leave out a factor that only repeats one before it, since no model can tell the two apart. */
export function suggestionsFor(study: Study, { table, runs }: StudyTable, response: string) {
  const values = columnNamed(table, response)?.values ?? []
  const read = runs.flatMap((_, row) => (values[row] == null ? [] : [row]))
  const cells = (name: string) => read.map((row) => columnNamed(table, name)?.values[row] ?? null)
  const distinct = (name: string) => new Set(cells(name).filter((value) => value !== null)).size
  const own = study.factors.filter(
    (factor, i) =>
      !study.factors.slice(0, i).some((before) => isCopy(cells(before.name), cells(factor.name))),
  )
  return suggestModels({
    factors: own.map(({ name, role, kind }) => ({ name, role, kind, distinct: distinct(name) })),
    response,
    onLogScale: response === thickness || response === nonUniformity,
    groups: distinct('lot') > 1 ? ['lot'] : [],
    runs: read.length,
  })
}

function isCopy(a: readonly unknown[], b: readonly unknown[]): boolean {
  const pairs = a.flatMap((x, i) =>
    typeof x === 'number' && typeof b[i] === 'number' ? [[x, b[i]] as const] : [],
  )
  if (pairs.length < 3) return false
  const mean = (k: 0 | 1) => pairs.reduce((sum, pair) => sum + pair[k], 0) / pairs.length
  const [x0, y0] = [mean(0), mean(1)]
  let [xx, yy, xy] = [0, 0, 0]
  for (const [x, y] of pairs) {
    xx += (x - x0) ** 2
    yy += (y - y0) ** 2
    xy += (x - x0) * (y - y0)
  }
  return xx > 0 && yy > 0 && Math.abs(xy) > copy * Math.sqrt(xx * yy)
}
