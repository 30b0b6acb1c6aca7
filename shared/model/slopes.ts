import type { Comparison } from '../contract/results/compare.ts'
import type { Settings } from '../contract/things.ts'
import { tQuantile } from './distributions.ts'
import { divide, entry, fromNumber, type Paired, paired, setEntry } from './double-double.ts'
import { columnOf, type Expression, evaluate, expressionText, type Term } from './expression.ts'
import type { LinearFit } from './linear-fit.ts'
import { rowAt } from './predict.ts'
import { rowDifference } from './ratio.ts'
import { testedRange } from './target-setting.ts'

/** Half the span over which a slope is taken, as a part of the tested range. */
const halfSpan = 1e-3

/**
 * How much steeper or flatter each group's curve runs than the first's, along each of its numeric columns, where the
 * shifts are read: by the slope on the column as the model takes it, such as log(speed). Where terms cross columns or
 * square them, slopes hold at those settings only, which are given.
 *
 * @param fit of separate curves
 * @param at the settings of all columns; that of the groups is put in
 */
export function slopesOf(
  fit: LinearFit,
  question: { ofCurve: readonly Term[]; by: string; groups: readonly string[]; at: Settings; level: number },
): Comparison['slopes'] {
  const { ofCurve, by, groups, at, level } = question
  const { frame } = fit.fitted
  const [first = '', ...others] = groups
  const numeric = frame.columns.filter(({ name }) => typeof at[name] === 'number')
  return numeric.flatMap((column) => {
    const { name } = column
    const along = partOf(ofCurve, name)
    if (along === null) return []
    const { tested } = testedRange(fit.fitted, column)
    const x = at[name] as number
    const reach = halfSpan * (tested[1] > tested[0] ? tested[1] - tested[0] : Math.abs(x))
    const slope = (group: string) => slopeRow(fit, { ...at, [by]: group }, along, [x - reach, x + reach])
    const base = slope(first)
    if (base === null) return []
    const reference = fit.combination(base).estimate
    const held = Object.fromEntries(
      columnsThatMatter(ofCurve, along).map((other) => [other, at[other] as number | string]),
    )
    return others.flatMap((group) => {
      const own = slope(group)
      if (own === null) return []
      const { estimate, variance, df } = fit.combination(rowDifference(own, base))
      const half = tQuantile((1 + level) / 2, df) * Math.sqrt(variance)
      return [
        {
          group,
          term: expressionText(along),
          reference,
          difference: estimate,
          lower: estimate - half,
          upper: estimate + half,
          at: held,
        },
      ]
    })
  })
}

/** The simplest way in which a column stands in the curve: by itself in a term, else wherever it stands first. */
function partOf(terms: readonly Term[], name: string): Expression | null {
  const alone = terms.filter((term) => term.length === 1)
  return [...alone, ...terms].flat().find((part) => columnOf(part) === name) ?? null
}

/** Columns whose settings change the slope: those crossed with the column, and itself where it stands in two ways. */
function columnsThatMatter(terms: readonly Term[], along: Expression): string[] {
  const name = columnOf(along)
  const own = terms.filter((term) => term.some((part) => columnOf(part) === name))
  const text = expressionText(along)
  return [
    ...new Set(
      own.flatMap((term) => term.flatMap((part) => (expressionText(part) === text ? [] : [columnOf(part)]))),
    ),
  ]
}

/** The row that gives the slope: the model's rows at two settings, less each other, over the step between them. */
function slopeRow(
  { fitted }: LinearFit,
  at: Settings,
  along: Expression,
  [low, high]: readonly [number, number],
): Paired | null {
  const name = columnOf(along)
  const [above, below] = [high, low].map((x) => rowAt(fitted, { ...at, [name]: x }))
  const step = evaluate(along, high) - evaluate(along, low)
  if (!above?.ok || !below?.ok || !(Math.abs(step) > 0)) return null
  const rise = rowDifference(above.value, below.value)
  const result = paired(rise.hi.length)
  for (let k = 0; k < rise.hi.length; k++) setEntry(result, k, divide(entry(rise, k), fromNumber(step)))
  return result
}
