import { describe, expect, test } from 'vitest'
import { fitEquation } from '../../../shared/model/equation.ts'
import { fitSpinCurve } from '../../../shared/model/spin-curve.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'
import { dataTable } from './data-table.ts'

// Expected values from profile.R beside this (R 4.2.2): the ends solved for there, which confint of MASS, interpolating,
// meets to about 4 digits.

function treated(): Table {
  const table = dataTable('puromycin.csv')
  const rows = (table.columns[2]?.values ?? []).flatMap((value, i) => (value === 'treated' ? [i] : []))
  const columns = table.columns.map(({ name, values }) => ({
    name,
    values: rows.map((row) => values[row] ?? null),
  }))
  return { columns, rows: rows.length }
}

type Case = {
  name: string
  table: Table
  equation: string
  start: Record<string, number>
  /** Solved for, and as confint interpolates them. */
  ends: [number, number][]
  confint: [number, number][]
}

describe('profile intervals', () => {
  test.each<Case>([
    {
      name: 'reaction rates (Treloar, 1974)',
      table: treated(),
      equation: 'rate = V*conc/(K + conc)',
      start: { V: 200, K: 0.1 },
      ends: [
        [197.301932900284, 229.289055055053],
        [0.0469203420351707, 0.0861569134271392],
      ],
      confint: [
        [197.302127384787, 229.290063958958],
        [0.0469251668447028, 0.0861599523293278],
      ],
    },
    {
      name: 'DanWood',
      table: dataTable('strd_danwood.csv'),
      equation: 'y = b1*x^b2',
      start: { b1: 0.7, b2: 4 },
      ends: [
        [0.719607162873641, 0.820769803290091],
        [3.71805865703821, 4.00418315689516],
      ],
      confint: [
        [0.719610590962227, 0.820771567489353],
        [3.718060206025436, 4.004183659173431],
      ],
    },
    {
      name: 'Misra1a',
      table: dataTable('strd_misra1a.csv'),
      equation: 'y = b1*(1 - exp(-b2*x))',
      start: { b1: 250, b2: 5e-4 },
      ends: [
        [233.195307961662, 245.017369243217],
        [0.000534318267928736, 0.000566029897276441],
      ],
      confint: [
        [233.195321759731, 245.017658808513],
        [5.34318278245064e-4, 5.66029923142205e-4],
      ],
    },
  ])('$name', ({ table, equation, start, ends, confint }) => {
    const answer = fitEquation({ table, equation, start })
    const terms = answer.ok ? answer.value.report().terms : []
    expect(terms).toHaveLength(2)
    terms.forEach(({ profile }, j) => {
      for (const side of [0, 1] as const) {
        closeTo(profile?.[side], ends[j]?.[side] ?? Number.NaN, 1e-7)
        closeTo(profile?.[side], confint[j]?.[side] ?? Number.NaN, 2e-4)
      }
    })
  })
})

describe('a spin curve with an offset (University of Pennsylvania, 12 speeds)', () => {
  const table = dataTable('upenn_resist_spin_curve.csv')
  const columns = { speed: 'rpm', thickness: 'thickness_um' }

  test('estimates, profile intervals and a mean by the delta method', () => {
    const answer = fitSpinCurve({ table, kind: 'offset', ...columns })
    const report = answer.ok ? answer.value.report([{ rpm: 3200 }]) : undefined
    expect(report?.terms.map(({ term }) => term)).toEqual(['K', 'apparent exponent', 'offset'])
    const [k, exponent, offset] = report?.terms ?? []
    closeTo(k?.estimate, 39.397466227331194, 1e-7)
    closeTo(k?.standardError, 4.6496403790153673, 1e-6)
    closeTo(exponent?.estimate, 0.561960100539281, 1e-7)
    closeTo(exponent?.standardError, 0.0215984801391748, 1e-6)
    closeTo(offset?.estimate, 0.092022914637121, 1e-7)
    closeTo(offset?.standardError, 0.0236226596075428, 1e-6)
    closeTo(report?.residualStandardDeviation, 0.006842732445553512, 1e-10)
    closeTo(offset?.profile?.[0], 0.0345123815459099, 1e-6)
    closeTo(offset?.profile?.[1], 0.1409348724426178, 1e-6)
    closeTo(exponent?.profile?.[0], 0.513885740042051, 1e-7)
    closeTo(exponent?.profile?.[1], 0.610518952117387, 1e-7)
    closeTo(k?.profile?.[0], 30.392004900271733, 1e-3)
    closeTo(k?.profile?.[1], 51.512055155244539, 1e-3)
    const [mean] = report?.predictions ?? []
    closeTo(mean?.estimate, 0.5144131382079713, 1e-9)
    closeTo(mean?.standardErrorOfMean, 0.00221915672503111, 1e-6)
    closeTo(mean?.confidence[0], 0.50939305692707038, 1e-8)
    closeTo(mean?.prediction[1], 0.53068615469903113, 1e-8)
  })

  test('the power law without one', () => {
    const answer = fitSpinCurve({ table, kind: 'power', ...columns })
    const [k, exponent] = answer.ok ? answer.value.report().terms : []
    closeTo(k?.estimate, 26.89257256812, 1e-10)
    closeTo(exponent?.estimate, 0.489821028348, 1e-10)
  })

  test('two lots, each with its own curve, one residual variance for both', () => {
    const [rpm, film] = table.columns.map(({ values }) => values as number[])
    const second = (film ?? []).map((value, i) => 1.03 * value + 0.002 * (-1) ** (i + 1))
    const lots: Table = {
      rows: 24,
      columns: [
        { name: 'speed', values: [...(rpm ?? []), ...(rpm ?? [])] },
        { name: 'thickness', values: [...(film ?? []), ...second] },
        { name: 'lot', values: [...(film ?? []).map(() => 7), ...second.map(() => 8)] },
      ],
    }
    const answer = fitSpinCurve({ table: lots, kind: 'offset', by: 'lot' })
    const report = answer.ok ? answer.value.report([{ speed: 3200, lot: '7' }]) : undefined
    const names = ['K[7]', 'apparent exponent[7]', 'offset[7]', 'K[8]', 'apparent exponent[8]', 'offset[8]']
    expect(report?.terms.map(({ term }) => term)).toEqual(names)
    const expected = [
      39.397466227331194, 0.561960100539281, 0.092022914637121, 39.94003626692931, 0.5593222514972339,
      0.0926571802497201,
    ]
    report?.terms.forEach(({ estimate }, j) => {
      closeTo(estimate, expected[j] ?? Number.NaN, 1e-6)
    })
    expect(report?.df).toBe(18)
    closeTo(report?.residualStandardDeviation, 0.00743181836242328, 1e-9)
    // Of one lot alone, but with the residual variance of both.
    closeTo(
      report?.terms[2]?.standardError,
      (0.0236226596075428 * 0.00743181836242328) / 0.006842732445553512,
      1e-6,
    )
    closeTo(report?.predictions[0]?.estimate, 0.5144131382079713, 1e-9)
    expect(report?.terms.every(({ profile }) => profile !== undefined)).toBe(true)
  })
})
