import { columnOf, quoted, termText } from '../model/expression.ts'
import { fitModel } from '../model/fit.ts'
import { parseFormula } from '../model/formula.ts'
import { fitOverDays } from '../model/over-days.ts'
import { columnNamed, type Table } from '../model/table.ts'
import { type Answer, good } from '../problem.ts'
import type { Searchable } from './predictor.ts'

/** The signed shape terms of a film, by the names of their columns. */
export const shapeTerms = ['bowl', 'ring', 'wedgeX', 'wedgeY'] as const
export type ShapeTerm = (typeof shapeTerms)[number]

/** A model of each shape term that the runs carry, over days. */
export type ShapeModels = Partial<Record<ShapeTerm, Searchable>>

/**
 * Fits each signed shape term of the wafers by the main effects of the thickness model (none of its squares and
 * products), or as constant where that has the smaller AICc. Non-uniformity itself is V-shaped in the settings and is
 * never fitted; it follows from these.
 *
 * @param model of the thickness
 * @returns problems where the model cannot be read; a term that the table does not hold or that cannot be fitted is left out
 */
export function fitShapes(options: { table: Table; model: string; level?: number }): Answer<ShapeModels> {
  const { table, model, level } = options
  const formula = parseFormula(model)
  if (!formula.ok) return formula
  const mains = formula.value.terms.filter(
    (term) =>
      term.length === 1 && term.every((part) => part.kind !== 'power' && columnOf(part) !== 'session'),
  )
  const right = mains.map(termText).join(' + ')
  const models: ShapeModels = {}
  for (const name of shapeTerms) {
    const values = columnNamed(table, name)?.values ?? []
    // With fewer, a model would follow the chance shape of single wafers.
    if (values.filter((value) => value !== null).length < 3) continue
    const candidates = [`${quoted(name)} ~ 1`, ...(right === '' ? [] : [`${quoted(name)} ~ ${right}`])]
    const best = smallestAicc(table, candidates)
    const fitted = fitOverDays({
      table,
      model: best,
      thickness: false,
      ...(level === undefined ? {} : { level }),
    })
    if (fitted.ok) models[name] = fitted.value
  }
  return good(models)
}

function smallestAicc(table: Table, candidates: readonly string[]): string {
  const weighed = candidates.map((model) => {
    const fit = fitModel({ table, model })
    const report = fit.ok ? fit.value.report() : null
    const whole = report !== null && report.notEstimable.length === 0
    return { model, aicc: whole ? (report.aicc ?? Number.POSITIVE_INFINITY) : Number.POSITIVE_INFINITY }
  })
  return weighed.reduce((best, next) => (next.aicc < best.aicc ? next : best)).model
}
