import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { basisOf, coefficientsOn } from '../../../shared/design/basis.ts'
import {
  columnsOf,
  crossed,
  type DesignTerm,
  mainEffect,
  placeOf,
} from '../../../shared/design/design-terms.ts'
import { fullFactorial } from '../../../shared/design/full-factorial.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bench, continuous, fullDesign } from '../../unit/design/examples.ts'

/** A data file: its header and rows as numbers; the first line names the source. */
function dataFile(name: string): { header: string[]; rows: number[][] } {
  const lines = readFileSync(new URL(`../../data/${name}`, import.meta.url), 'utf8')
    .trim()
    .split('\n')
  const [header, ...rows] = lines.filter((line) => !line.startsWith('#'))
  return { header: header!.split(','), rows: rows.map((row) => row.split(',').map(Number)) }
}

const gridOfTwoLevels = (k: number) =>
  fullFactorial(Array.from({ length: k }, (_, i) => continuous(`x${i + 1}`))).map((point) => point.coded)

describe('standard order of a full factorial', () => {
  test('is that of the published 2³ table', () => {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 5.3.3.3.1, doi:10.18434/M32189.
    expect(gridOfTwoLevels(3)).toEqual([
      [-1, -1, -1],
      [1, -1, -1],
      [-1, 1, -1],
      [1, 1, -1],
      [-1, -1, 1],
      [1, -1, 1],
      [-1, 1, 1],
      [1, 1, 1],
    ])
  })

  test.each([
    ['pilot-2to3.csv', 3],
    ['reactor-2to5.csv', 5],
  ])('is the order of the runs in %s', (file, k) => {
    expect(gridOfTwoLevels(k)).toEqual(dataFile(file).rows.map((row) => row.slice(1)))
  })

  test('runs mixed levels through with the first factor fastest', () => {
    const points = fullFactorial([continuous('a', { levels: 3 }), continuous('b')])
    expect(points.map((point) => point.coded)).toEqual([
      [-1, -1],
      [0, -1],
      [1, -1],
      [-1, 1],
      [0, 1],
      [1, 1],
    ])
  })
})

describe('effects from the plan’s own columns', () => {
  const effectsOf = (file: string, k: number) => {
    const { rows } = dataFile(file)
    const factors = Array.from({ length: k }, (_, i) => continuous(`${i + 1}`))
    let terms: DesignTerm[] = [{ name: '', parts: [] }]
    for (let i = 0; i < k; i++) terms = [...terms, ...crossed(terms, mainEffect(factors, i))]
    const plan = makePlan({ factors, design: fullDesign(), bench })
    if (!plan.ok) throw new Error('the plan')
    const runs = [...plan.value.runs].sort((a, b) => a.standardOrder - b.standardOrder)
    const basis = basisOf(
      columnsOf(
        terms,
        runs.map((run) => placeOf(factors, run.coded)),
      ),
    )
    const coefficients = coefficientsOn(
      basis,
      Float64Array.from(rows, (row) => row[0]!),
    )
    // An effect is the change from low to high: twice the coefficient.
    return Object.fromEntries(
      terms.map((term, t) => [
        term.name.replaceAll(/[".]/g, ''),
        term.parts.length === 0 ? coefficients[t]! : 2 * coefficients[t]!,
      ]),
    )
  }

  // Box, Hunter & Hunter, Statistics for Experimenters (1978); the reactor's recomputed from the data.
  test.each([
    ['pilot-2to3.csv', 3, { '': 64.25, 1: 23, 2: -5, 3: 1.5, 12: 1.5, 13: 10, 23: 0, 123: 0.5 }],
    [
      'reactor-2to5.csv',
      5,
      {
        '': 65.5,
        1: -1.375,
        2: 19.5,
        3: -0.625,
        4: 10.75,
        5: -6.25,
        24: 13.25,
        45: -11,
        235: 0.125,
        12345: -0.5,
      },
    ],
  ])('are the published ones for %s', (file, k, published) => {
    const effects = effectsOf(file, k)
    for (const [name, effect] of Object.entries(published)) expect(effects[name]).toBeCloseTo(effect, 12)
  })
})
