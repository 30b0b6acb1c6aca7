import { describe, expect, test } from 'vitest'
import { fitEquation } from '../../../shared/model/equation.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

function fitOf(table: Table, equation: string, start: Record<string, number>) {
  const answer = fitEquation({ table, equation, start })
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value.report()
}

// Certified values (11 digits) of the NIST Statistical Reference Datasets, nonlinear regression (National Institute of
// Standards and Technology, public domain), from the far start and from the near one. Data in tests/data/strd_*.csv.

type Certified = {
  file: string
  equation: string
  starts: number[][]
  estimates: number[]
  errors: number[]
  residualStandardDeviation: number
  sumOfSquares: number
}

const sets: Record<string, Certified> = {
  Misra1a: {
    file: 'strd_misra1a.csv',
    equation: 'y = b1*(1 - exp(-b2*x))',
    starts: [
      [500, 0.0001],
      [250, 0.0005],
    ],
    estimates: [2.3894212918e2, 5.5015643181e-4],
    errors: [2.7070075241, 7.2668688436e-6],
    residualStandardDeviation: 1.018787633e-1,
    sumOfSquares: 1.2455138894e-1,
  },
  Chwirut2: {
    file: 'strd_chwirut2.csv',
    equation: 'y = exp(-b1*x)/(b2 + b3*x)',
    starts: [
      [0.1, 0.01, 0.02],
      [0.15, 0.008, 0.01],
    ],
    estimates: [1.6657666537e-1, 5.1653291286e-3, 1.2150007096e-2],
    errors: [3.830328681e-2, 6.6621605126e-4, 1.5304234767e-3],
    residualStandardDeviation: 3.171713304,
    sumOfSquares: 5.1304802941e2,
  },
  MGH09: {
    file: 'strd_mgh09.csv',
    equation: 'y = b1*(x^2 + x*b2)/(x^2 + x*b3 + b4)',
    starts: [
      [25, 39, 41.5, 39],
      [0.25, 0.39, 0.415, 0.39],
    ],
    estimates: [1.9280693458e-1, 1.9128232873e-1, 1.2305650693e-1, 1.3606233068e-1],
    errors: [1.1435312227e-2, 1.9633220911e-1, 8.0842031232e-2, 9.0025542308e-2],
    residualStandardDeviation: 6.6279236551e-3,
    sumOfSquares: 3.0750560385e-4,
  },
  Rat43: {
    file: 'strd_rat43.csv',
    equation: 'y = b1/(1 + exp(b2 - b3*x))^(1/b4)',
    starts: [
      [100, 10, 1, 1],
      [700, 5, 0.75, 1.3],
    ],
    estimates: [6.996415127e2, 5.2771253025, 7.5962938329e-1, 1.2792483859],
    errors: [1.6302297817e1, 2.0828735829, 1.9566123451e-1, 6.8761936385e-1],
    residualStandardDeviation: 2.8262414662e1,
    sumOfSquares: 8.786404908e3,
  },
  Eckerle4: {
    file: 'strd_eckerle4.csv',
    equation: 'y = b1/b2*exp(-0.5*((x - b3)/b2)^2)',
    starts: [
      [1, 10, 500],
      [1.5, 5, 450],
    ],
    estimates: [1.5543827178, 4.0888321754, 4.5154121844e2],
    errors: [1.5408051163e-2, 4.6803020753e-2, 4.6800518816e-2],
    residualStandardDeviation: 6.7629245447e-3,
    sumOfSquares: 1.4635887487e-3,
  },
  DanWood: {
    file: 'strd_danwood.csv',
    equation: 'y = b1*x^b2',
    starts: [
      [1, 5],
      [0.7, 4],
    ],
    estimates: [7.6886226176e-1, 3.8604055871],
    errors: [1.828197386e-2, 5.1726610913e-2],
    residualStandardDeviation: 3.2853114039e-2,
    sumOfSquares: 4.3173084083e-3,
  },
}

const cases = Object.entries(sets).flatMap(([name, set]) =>
  set.starts.map((start, i) => [`${name} from start ${i + 1}`, set, start] as const),
)

describe('nonlinear sets, to the 11 certified digits', () => {
  test.each(cases)('%s', (_, set, start) => {
    const named = Object.fromEntries(start.map((value, i) => [`b${i + 1}`, value]))
    const fit = fitOf(dataTable(set.file), set.equation, named)
    expect(fit.stopReason).toBe('converged')
    expect(fit.terms.map(({ term }) => term)).toEqual(Object.keys(named))
    fit.terms.forEach((term, i) => {
      closeTo(term.estimate, set.estimates[i] as number, 1e-10)
      closeTo(term.standardError, set.errors[i] as number, 2e-10)
    })
    closeTo(fit.residualStandardDeviation, set.residualStandardDeviation, 1e-10)
    closeTo(fit.analysisOfVariance[0]?.sumOfSquares, set.sumOfSquares, 1e-10)
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
