import { describe, expect, test } from 'vitest'
import { fitEquation } from '../../../shared/model/equation.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'
import { nonlinearSets } from './strd-nonlinear-sets.ts'

function fitOf(table: Table, equation: string, start: Record<string, number>) {
  const answer = fitEquation({ table, equation, start })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value.report()
}

const named = (start: number[]) => Object.fromEntries(start.map((value, i) => [`b${i + 1}`, value]))

/** Start from which the search must say that it does not converge: it is a valley some thousand steps long. */
const notReached = ['MGH10 from start 1']

const cases = Object.entries(nonlinearSets).flatMap(([name, set]) =>
  set.starts.map((start, i) => [`${name} from start ${i + 1}`, set, start] as const),
)

describe('nonlinear sets, to the 11 certified digits', () => {
  const reached = cases.filter(([name]) => !notReached.includes(name))

  test.each(reached.filter(([, set, start]) => start === set.starts.at(-1)))('%s', (name, set, start) => {
    const fit = fitOf(dataTable(set.file), set.equation, named(start))
    // The residuals of Lanczos1 are 1e-13 of a response of 1: of them a double holds 3 digits, of the parameters 10.
    const rounding = name.startsWith('Lanczos1')
    const relative = rounding ? 1e-2 : 2e-10
    expect(fit.problems.some(({ code }) => code === 'nearlyExact')).toBe(rounding)
    expect(fit.stopReason).toBe('converged')
    expect(fit.terms.map(({ term }) => term)).toEqual(Object.keys(named(start)))
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, set.estimates[i] as number, 1e-10)
      closeTo(term.standardError, set.errors[i] as number, relative)
    })
    closeTo(fit.residualStandardDeviation, set.residualStandardDeviation, relative)
    closeTo(fit.analysisOfVariance[0]?.sumOfSquares, set.sumOfSquares, relative)
  })

  // The same place as above once it is reached, and so without the report, whose profiles take most of the time.
  test.each(reached.filter(([, set, start]) => start !== set.starts.at(-1)))('%s', (name, set, start) => {
    const answer = fitEquation({ table: dataTable(set.file), equation: set.equation, start: named(start) })
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
    const { parameters, residualStandardDeviation } = answer.value
    Object.values(parameters).forEach((estimate, i) => {
      closeTo(estimate, set.estimates[i] as number, 1e-10)
    })
    closeTo(
      residualStandardDeviation,
      set.residualStandardDeviation,
      name.startsWith('Lanczos1') ? 1e-2 : 2e-10,
    )
  })

  test.each(cases.filter(([name]) => notReached.includes(name)))('%s is not reached', (_, set, start) => {
    const answer = fitEquation({ table: dataTable(set.file), equation: set.equation, start: named(start) })
    expect(!answer.ok && answer.problems.map(({ code }) => code)).toEqual(['didNotConverge'])
  })
})

describe('reaction rates (Treloar, 1974)', () => {
  // Data carried by R as Puromycin. The normal equations were solved in mpmath with 30 digits; nls of R, which stops
  // earlier, agrees to 6.
  const table = dataTable('puromycin.csv')
  const only = (state: string): Table => {
    const rows = (table.columns[2]?.values ?? []).flatMap((value, i) => (value === state ? [i] : []))
    const columns = table.columns.map((column) => ({
      ...column,
      values: rows.map((row) => column.values[row] ?? null),
    }))
    return { columns, rows: rows.length }
  }

  test.each([
    ['treated', 212.68374314254, 6.947155160041, 0.064121281681567, 0.00828094949848, 10.93365819129],
    ['untreated', 160.28004618271, 6.480245504852, 0.047708184505954, 0.007781875242056, 9.773003028635],
  ])('%s', (state, v, vError, k, kError, s) => {
    const fit = fitOf(only(state), 'rate = V*conc/(K + conc)', { V: 200, K: 0.1 })
    closeTo(fit.terms[0]?.estimate, v, 1e-10)
    closeTo(fit.terms[0]?.standardError, vError, 1e-10)
    closeTo(fit.terms[1]?.estimate, k, 1e-10)
    closeTo(fit.terms[1]?.standardError, kError, 1e-10)
    closeTo(fit.residualStandardDeviation, s, 1e-10)
  })
})

test('thickness against speed on the plain scale', () => {
  // Data: University of Pennsylvania, repository.upenn.edu, series scn_tooldata, article 1000. The normal equations were
  // solved in mpmath with 30 digits.
  const table = dataTable('upenn_resist_spin_curve.csv')
  const fit = fitOf(table, 'thickness_um = k*rpm^(-a)', { k: 20, a: 0.5 })
  closeTo(fit.terms[0]?.estimate, 26.89257256812, 1e-10)
  closeTo(fit.terms[0]?.standardError, 1.001269678496, 1e-10)
  closeTo(fit.terms[1]?.estimate, 0.489821028348, 1e-10)
  closeTo(fit.analysisOfVariance[0]?.sumOfSquares, 0.0009790810817284, 1e-10)
})
