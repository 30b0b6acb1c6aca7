import type { Settings } from '../../../shared/contract/things.ts'
import type { Result } from '../../../shared/contract.ts'
import { speedColumn } from '../../../shared/model/corrected-speed.ts'
import type { RunOrder } from '../../../shared/model/doubts/run-order.ts'
import type { FittedModel } from '../../../shared/model/fit.ts'
import { type Fitted, fitFormula } from '../../../shared/model/fitted.ts'
import { workingPoint } from '../../../shared/model/groups.ts'
import { predictAt } from '../../../shared/model/predict.ts'
import { atRows, columnNamed } from '../../../shared/model/table.ts'
import { settingForTarget, withFrame } from '../../../shared/model/target-setting.ts'
import type { StudyData } from './study-data.ts'

/** A doubt is raised below this chance. */
export const doubtful = 0.05

/** What is known of a fit when doubts are looked for. */
export type Doubted = {
  found: StudyData
  model: FittedModel
  fitted: Fitted
  runs: RunOrder
  /** Where predictions are compared, and the prediction there without rows of the table. */
  at: Settings
  without(rows: ReadonlySet<number>): number | null
  codesOf(places: readonly number[]): string
  idsOf(places: readonly number[]): string[]
}

/** What one look finds. */
export type Looked = Partial<Pick<Result<'fits.doubts'>, 'doubts' | 'clear' | 'notJudged' | 'explained'>>

/** What every look goes by. */
export function doubtedFit(found: StudyData, response: string, model: FittedModel): Doubted {
  const { fitted } = model
  const { data, study } = found
  const ofPlace = (place: number) => data.runs[fitted.frame.rows[place] as number]
  const places = fitted.frame.rows.map((_, i) => i)
  const at = placeOf(model, response === 'thickness' ? study.targetNm : null)
  return {
    found,
    model,
    fitted,
    runs: {
      order: places.map((place) => ofPlace(place)?.runOrder ?? place),
      session: places.map((place) => ofPlace(place)?.session ?? ''),
    },
    at,
    without(rows) {
      const kept = fitted.frame.rows.filter((row) => !rows.has(row))
      const table = { columns: data.table.columns.map((column) => atRows(column, kept)), rows: kept.length }
      const again = fitFormula({ table, formula: fitted.formula })
      return again.ok ? estimateAt(again.value, at) : null
    },
    codesOf: (of) => of.map((place) => ofPlace(place)?.code ?? '').join(', '),
    idsOf: (of) => of.map((place) => ofPlace(place)?.id ?? ''),
  }
}

/** At the target along the speed, where the model reaches it; else in the middle of the runs. */
function placeOf(model: FittedModel, target: number | null): Settings {
  const factor = target === null ? null : speedColumn(model.fitted.frame, null)
  const found =
    target === null || factor === null ? null : settingForTarget(withFrame(model), { factor, target })
  return found?.ok ? found.value.at : workingPoint(model.fitted.frame)
}

/** The median prediction, in the response's unit. */
export function estimateAt(fitted: Fitted, at: Settings): number | null {
  const predicted = predictAt(fitted, at, 1)
  return predicted.ok ? predicted.value.estimate : null
}

/**
 * The same model with its sessions held apart, of the runs whose session is named; null where too little is left over.
 */
export function withinSessions({ fitted, found, runs }: Pick<Doubted, 'fitted' | 'found' | 'runs'>) {
  const { table } = found.data
  const { terms } = fitted.formula
  const held = terms.some((own) => own.length === 1 && own[0]?.kind === 'column' && own[0].name === 'session')
  if (held || !columnNamed(table, 'session')) return { fitted, runs }
  const term = [{ kind: 'column' as const, name: 'session' }]
  const within = fitFormula({ table, formula: { ...fitted.formula, terms: [...terms, term] } })
  if (!within.ok || within.value.solution.df < 2) return null
  const place = new Map(fitted.frame.rows.map((row, i) => [row, i]))
  const own = within.value.frame.rows.map((row) => place.get(row) as number)
  return {
    fitted: within.value,
    runs: {
      order: own.map((i) => runs.order[i] as number),
      session: own.map((i) => runs.session[i] as string),
    },
  }
}
