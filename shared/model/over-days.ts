import { type Answer, good } from '../problem.ts'
import { curvatureProblems, missingSquares } from './curvature.ts'
import { columnOf, termText } from './expression.ts'
import { type FittedModel, fitModel } from './fit.ts'
import { fitFormula } from './fitted.ts'
import { columnsOf, formulaText, parseFormula } from './formula.ts'
import { median } from './groups.ts'
import { type FittedMixed, fitMixed } from './mixed.ts'
import type { KnownVariances } from './mixed-estimate.ts'
import { notNamed } from './nested-groups.ts'
import { slopeToMeasured, toModel } from './response.ts'
import type { StatedVariance } from './stated-variance.ts'
import { type Column, columnNamed, type Table } from './table.ts'

/**
 * Standard deviations taken where neither the runs nor earlier studies tell them, as shares of the thickness: a manual
 * coater differs by 0.5 to 1.5 % from day to day, a plate comes back to a setting within 0.6 °C, at −0.3 % a °C, and
 * the wafers of a session differ by 0.3 to 1 % (from memory, no source). Each is worth only as many degrees of freedom,
 * so that the intervals stay wide.
 */
export const usualSpread = {
  session: { share: 0.006, df: 3 },
  plateVisit: { share: 0.002, df: 3 },
  residual: { share: 0.005, df: 3 },
} as const

/** For another response: half as much between sessions as between runs, a quarter between visits (from memory, no source). */
const usualOfScatter = { session: 0.5, plateVisit: 0.25, residual: 1 } as const

/** The groups whose runs share a chance effect, outermost first. */
const groupColumns = ['session', 'plateVisit'] as const
type GroupColumn = (typeof groupColumns)[number]

/** What earlier studies on the same tools say: standard deviations on the model's scale, and what each is worth. */
export type EarlierSpread = Partial<
  Record<GroupColumn, { standardDeviation: number; df?: number | undefined }>
>

/** How sessions and visits to the plate enter a fit. */
export type OverDays = {
  earlier?: EarlierSpread
  /** The session that a prediction in the same session is for; that of the last row unless given. */
  present?: string
  /** Whether the response is the film's thickness, or a ratio to one. */
  thickness: boolean
}

/**
 * Fits a model with the variances between sessions and, in them, visits to the hot plate, so that a prediction for
 * another day can be given: by the runs where they can tell (at least 3 degrees of freedom and an estimate above 0),
 * else with what earlier studies say, else with what is usual. A group that the model itself holds apart has no
 * variance; where that leaves none, the fit is plain least squares. Runs of no named session count as one session.
 * Where no two runs of a session are left to compare, such as with one wafer a day, what is usual divides the scatter
 * of the runs between the day and the wafer.
 *
 * @returns problems as `fitMixed` gives them
 */
export function fitOverDays(
  options: OverDays & {
    table: Table
    model: string
    level?: number
  },
): Answer<FittedMixed | FittedModel> {
  const { model, level, earlier = {} } = options
  const formula = parseFormula(model)
  if (!formula.ok) return formula
  const held = columnsOf(formula.value.terms)
  const columns = groupColumns.filter(
    (name) => !held.includes(name) && (name === 'session' || columnNamed(options.table, name)),
  )
  const ofLevel = level === undefined ? {} : { level }
  if (columns.length === 0) return fitModel({ table: options.table, model, ...ofLevel })
  const table = withGroups(options.table, columns)
  const plain = fitFormula({ table, formula: formula.value })
  if (!plain.ok) return plain
  const { frame, variance } = plain.value
  const sd = (column: GroupColumn | 'residual'): number => {
    if (!options.thickness) return usualOfScatter[column] * Math.sqrt(variance ?? 0)
    const { values } = columnNamed(table, frame.scale.name) as Column
    const y = median(frame.rows.map((row) => Number(values[row])))
    return (usualSpread[column].share * y) / slopeToMeasured(frame.scale, toModel(frame.scale, y))
  }
  const usually = (column: GroupColumn | 'residual') => ({
    variance: sd(column) ** 2,
    df: usualSpread[column].df,
    usual: true,
  })
  const fit = (groups: readonly GroupColumn[], { of = model, own = false } = {}) => {
    const byGroup = (value: (column: GroupColumn) => StatedVariance | undefined) =>
      Object.fromEntries(
        groups.flatMap((column, g) => {
          const one = value(column)
          return one && one.variance > 0 ? [[groups.slice(0, g + 1).join('/'), one]] : []
        }),
      )
    const known: KnownVariances = {
      earlier: byGroup((column) => {
        const one = earlier[column]
        return (
          one && { variance: one.standardDeviation ** 2, ...(one.df === undefined ? {} : { df: one.df }) }
        )
      }),
      usual: { ...byGroup(usually), ...(own ? { residual: usually('residual') } : {}) },
    }
    return fitMixed({
      table,
      model: of,
      random: groups.join('/'),
      ...known,
      ...ofLevel,
      ...(options.present === undefined ? {} : { present: options.present }),
    })
  }
  const whole = fit(columns)
  // Where no two runs share a visit, its variance is part of that between runs.
  const groups = columns.length === 2 && inseparable(whole) ? (['session'] as const) : columns
  const alone = groups === columns ? whole : fit(groups)
  const own = inseparable(alone)
  const fitted = own ? fit(groups, { own }) : alone
  if (!fitted.ok) return fitted
  const squares = missingSquares(plain.value)
  const curved = () => {
    if (squares.length === 0) return []
    const wider = { ...formula.value, terms: [...formula.value.terms, ...squares] }
    return curvatureProblems(mostCurved(fit(groups, { of: formulaText(wider), own }), squares.map(termText)))
  }
  return good({
    ...fitted.value,
    report(at) {
      const report = fitted.value.report(at)
      return { ...report, problems: [...curved(), ...report.problems] }
    },
  })
}

/** Whether the runs inside the innermost groups leave nothing to tell their own variance by. */
const inseparable = (answer: Answer<FittedMixed>) =>
  !answer.ok && answer.problems.some(({ code }) => code === 'noStratumDf')

/** Responses that are a thickness, or a ratio to one. */
const thicknessResponses: ReadonlySet<string> = new Set(['thickness', 'ratio to reference'])

/** Whether a model is of the film's thickness, for {@link OverDays}. */
export function isThickness(model: string): boolean {
  const formula = parseFormula(model)
  return (
    formula.ok && formula.value.response !== null && thicknessResponses.has(columnOf(formula.value.response))
  )
}

/** The square that the runs ask for most, each tested with the error of its own stratum; p for the best of so many. */
function mostCurved(
  wider: Answer<FittedMixed>,
  squares: readonly string[],
): Parameters<typeof curvatureProblems>[0] {
  if (!wider.ok) return null
  const tests = wider.value.tests.marginal().filter(({ term }) => squares.includes(term))
  const best = tests.reduce<(typeof tests)[number] | null>((a, b) => (a === null || b.p < a.p ? b : a), null)
  return best && { df1: best.df, df2: best.denominatorDf, f: best.f, p: Math.min(1, best.p * tests.length) }
}

/** The table with every run in a group: those of no named one together. */
function withGroups(table: Table, names: readonly GroupColumn[]): Table {
  const others = table.columns.filter(({ name }) => !names.includes(name as GroupColumn))
  const groups = names.map((name): Column => {
    const column = columnNamed(table, name)
    return {
      name,
      values: Array.from({ length: table.rows }, (_, row) => String(column?.values[row] ?? notNamed)),
    }
  })
  return { ...table, columns: [...others, ...groups] }
}
