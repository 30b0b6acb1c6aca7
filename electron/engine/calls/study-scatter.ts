import type { Study } from '../../../shared/contract/things.ts'
import { ofStage, thickness } from '../../../shared/film/reading-stage.ts'
import type { ScatterInput, ScatterSubstrate } from '../../../shared/film/scatter.ts'
import { siteKey } from '../../../shared/film/site-means.ts'
import { beyondEdge, radiusOf } from '../../../shared/film/substrate.ts'
import { columnsOf, parseFormula } from '../../../shared/model/formula.ts'
import { columnNamed } from '../../../shared/model/table.ts'
import type { Store } from '../store/open.ts'
import { readingsOfStudy } from '../store/readings.ts'
import { includedRows, studyTable } from './study-table.ts'

/**
 * The readings of a study that count, by substrate, as the scatter of the film is taken apart.
 *
 * @param model whose right side is taken off first, where it is one of thickness by what was set
 */
export function scatterOfStudy(store: Store, study: Study, model: string | null): ScatterInput {
  const { table, runs, responses } = includedRows(studyTable(store, study))
  const readings = readingsOfStudy(store.db, study.id)
  const settings = table.columns.filter(({ name }) => !responses.includes(name))
  const factors = study.factors.map(({ name }) => name)
  const substrates = runs.map((run, row): ScatterSubstrate => {
    const valuesOf = (names: readonly string[]) =>
      names.map((name) => columnNamed(table, name)?.values[row] ?? null)
    const film = (readings.get(run.id) ?? []).filter(({ quantity }) => quantity === thickness)
    const counting = ofStage(film, study).counting.filter(
      ({ value, excluded, xMm, yMm }) =>
        value > 0 &&
        excluded === null &&
        !(xMm !== null && yMm !== null && beyondEdge(study, { x: xMm, y: yMm })),
    )
    return {
      session: run.session ?? '',
      plateVisit: String(run.plateVisit ?? ''),
      wafer: run.code,
      setting: valuesOf(factors).every((value) => value === null)
        ? null
        : JSON.stringify(valuesOf([...factors, 'lot'])),
      columns: Object.fromEntries(settings.map(({ name, values }) => [name, values[row] ?? null])),
      readings: counting.map(({ id, site, xMm, yMm, value }) => ({
        site: siteKey({ site, xMm, yMm }) ?? id,
        x: xMm,
        y: yMm,
        value,
      })),
    }
  })
  return {
    substrates: substrates.filter((substrate) => substrate.readings.length > 0),
    radiusMm: radiusOf(study),
    model: ofSettings(
      model,
      settings.map(({ name }) => name),
    ),
    repeatability: study.gauge?.repeatability ?? null,
  }
}

/** Right side of a model where it is one of thickness by what was set; else null. */
function ofSettings(model: string | null, known: readonly string[]): string | null {
  const [, left = '', right = ''] = /^([^~]*)~(.*)$/s.exec(model ?? '') ?? []
  const formula = parseFormula(model ?? '')
  if (!formula.ok || !left.includes(thickness)) return null
  return columnsOf(formula.value.terms).every((name) => known.includes(name)) ? right.trim() : null
}
